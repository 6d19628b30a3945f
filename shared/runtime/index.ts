export * from "./automaton.ts";
export * from "./condition.ts";
export * from "./machine.ts";
export * from "./moves.ts";
export * from "./state.ts";
