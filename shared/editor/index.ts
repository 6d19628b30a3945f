export * from "./preview.ts";
export * from "./requests.ts";
