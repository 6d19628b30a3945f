import type { ScenarioLineRan, ScenarioRan } from "@limbwright/shared/editor";

/** What the test view is told of a scenario. There is no fourth: whatever is not decided errored, and never passed. */
export interface TestOutcome {
  readonly state: "passed" | "failed" | "errored";
  readonly messages: readonly TestWords[];
  /** What happened. */
  readonly output: string;
}

/** What is said of one line of a scenario; of the scenario as a whole where it names no line. */
export interface TestWords {
  readonly words: string;
  readonly expected?: string;
  readonly found?: string;
  readonly range?: ScenarioLineRan["range"];
}

const CHANGED =
  "The text was changed while the scenario was run, so what it came to is not decided. Run it again.";
const GONE = "There is no scenario of this title in the text any more.";

/** `null`: the server knows no such scenario. */
export function testOutcome(ran: ScenarioRan | null): TestOutcome {
  if (!ran) return { state: "errored", messages: [{ words: GONE }], output: `${GONE}\n` };
  if (ran.isStale) return { state: "errored", messages: [{ words: CHANGED }], output: outputOf(ran) };
  const whole = ran.limit === undefined ? [] : [{ words: `Not decided: ${ran.limit}` }];
  const messages = [...whole, ...ran.lines.flatMap(wordsOf)];
  return { state: stateOf(ran.outcome), messages, output: outputOf(ran) };
}

function stateOf(outcome: ScenarioRan["outcome"]): TestOutcome["state"] {
  return outcome === "not-decided" ? "errored" : outcome;
}

function wordsOf({ outcome, expected, found = "", when, range }: ScenarioLineRan): TestWords[] {
  if (outcome === "done" || outcome === "passed") return [];
  if (outcome === "not-decided") return [{ words: `Not decided${atTime(when)}: ${found}`, range }];
  const words = `Expected${atTime(when)}: ${expected ?? ""}. Found: ${found}`;
  return [{ words, range, ...(expected !== undefined && { expected, found }) }];
}

function atTime(when: string | undefined): string {
  return when === undefined ? "" : ` (${when})`;
}

function outputOf({ name, steps }: ScenarioRan): string {
  if (steps.length === 0) return `"${name}": nothing has happened yet.\n`;
  const told = steps.map(
    ({ time, what, after }) => `${time.padStart(9)}  ${what}${after === "" ? "" : `: ${after}`}`,
  );
  return [`"${name}", what happened:`, ...told, ""].join("\n");
}
