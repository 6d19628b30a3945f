export * from "./finding.ts";
export * from "./origin.ts";
