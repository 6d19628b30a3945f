export * from "./age.ts";
export * from "./dimension.ts";
export * from "./interval.ts";
export * from "./quantity.ts";
export * from "./rational.ts";
export * from "./syringe.ts";
export * from "./unit.ts";
