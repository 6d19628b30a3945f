export * from "./finding.ts";
