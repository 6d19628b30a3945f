export type { Element } from "./automaton/draft.ts";
export * from "./automaton/facts.ts";
export type { Instant, Watched, WatchedCheck, Watcher } from "./automaton/watch.ts";
export * from "./runs.ts";
