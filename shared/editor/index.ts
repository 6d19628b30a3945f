export * from "./acceptance.ts";
export * from "./proof-state.ts";
