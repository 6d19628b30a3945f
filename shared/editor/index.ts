export * from "./acceptance.ts";
export * from "./comparison.ts";
export * from "./files.ts";
export * from "./outputs.ts";
export * from "./preview.ts";
export * from "./proof-state.ts";
export * from "./scenarios.ts";
export * from "./trust.ts";
