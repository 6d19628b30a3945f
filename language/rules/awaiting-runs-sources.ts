import type { Source } from "./source.ts";

/** What is published on the values of the rules that await the proof of runs, also where it disagrees. */
export const SOURCES_AWAITING_RUNS: Readonly<Record<string, readonly Source[]>> = {};
