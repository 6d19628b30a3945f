import type { Run, RunStep } from "../../runs/index.ts";

/** The last step that a run began whose words begin with this one: "deflate". */
export function lastBegun({ steps }: Run, word: string): RunStep | undefined {
  return steps.findLast(({ kind, says }) => kind === "start" && says.split(" ")[0] === word);
}

/** The name of the dose that a run injected last. */
export function lastInjected(run: Run): string | undefined {
  return lastBegun(run, "inject")?.dose;
}
