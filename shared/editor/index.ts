export * from "./acceptance.ts";
export * from "./files.ts";
export * from "./proof-state.ts";
