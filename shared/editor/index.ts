export * from "./proof-state.ts";
