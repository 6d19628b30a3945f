export * from "./days.ts";
export * from "./finding.ts";
