import { compileFile, type ScenarioResult, Site, scenarioResults } from "@limbwright/language";
import { readRuleFile } from "@limbwright/shared/rule-file";
import { type Case, type Offered, start } from "@limbwright/shared/runtime";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { filesIn, textOf } from "../../examples/site.ts";
import { firstSeed, howMany, someOf } from "../../questions.ts";
import { eventFrom } from "../../runtime/event-from.ts";
import { anyhow } from "../../runtime/started-case.ts";
import { ON } from "../rule-file/compiled.ts";

/**
 * Along the earliest run of each example protocol, what `expect … allowed` says at any second has to be what the runtime
 * answers when it is offered that step then.
 */

const FILE = "drafts/one.limb";
const TEXTS = { one: "" };
const SITE = new Site((file) => (file === FILE ? TEXTS.one : textOf(file)));

const FILES = [...filesIn("protocols"), ...filesIn("retired")];

/** The steps that a scenario can name, as the automaton says them. */
const NAMED =
  /^(?:apply cuffs|insert cannula|remove \w+|(?:inflate|deflate|confirm) (?!no pulse).*|(?:inject|give) .*|task .*)$/;

interface EarliestRun {
  readonly name: string;
  readonly steps: readonly string[];
  /** The lines that answer the questions on the way, each with the time from which it can be. */
  readonly answers: readonly { readonly line: string; readonly at: number }[];
  /** The case as it stands at each instant before what happens then. */
  readonly before: (at: number) => Case;
  readonly instants: readonly number[];
  /** The instants of which the first thing that happens is the start of a step that a scenario can name. */
  readonly starts: readonly number[];
}

/** Each step takes its shortest time; every question is answered with yes, as soon as it is asked. */
function earliestRun(file: string): EarliestRun {
  const [compiled] = compileFile(SITE, file, { on: ON, draft: true }) ?? [];
  if (compiled?.kind !== "written") throw new Error(`${file} is not compiled`);
  const reading = readRuleFile(compiled.text);
  const started =
    reading.kind === "read"
      ? start(reading.file, {}, {}, { ...anyhow(reading.file), rehearsal: true })
      : reading;
  if (started.kind !== "started" || started.case.file.runs.kind !== "explored") throw new Error(file);
  const begun = started.case;
  const answers: { line: string; at: number }[] = [];
  const before = (to: number): Case => {
    let now = begun;
    for (;;) {
      const answer = now.at < to ? answerAt(now) : undefined;
      if (answer && !answers.some(({ line }) => line === answer.line)) answers.push(answer);
      const next = answer?.case ?? now.advance(to, { pace: "shortest", until: () => true }).case;
      if (next.history.length === now.history.length) return now;
      now = next;
    }
  };
  const whole = before(Number.POSITIVE_INFINITY);
  const { edges } = started.case.file.runs.automaton;
  const says = edges.flatMap((edge) => (edge.kind === "start" && NAMED.test(edge.says) ? [edge.says] : []));
  return {
    name: compiled.protocol,
    steps: [...new Set(says)],
    answers,
    before,
    instants: [...new Set(whole.history.map(({ at }) => at))],
    starts: firstStarts(whole)
      .filter(({ says }) => NAMED.test(says))
      .map(({ at }) => at),
  };
}

/** The first start of a step at each instant, unless a question is asked then. */
function firstStarts({ history }: Case): Case["history"] {
  const begins = history.filter(({ kind }) => kind === "start" || kind === "answer");
  return begins.filter(({ kind, at }, index) => kind === "start" && begins[index - 1]?.at !== at);
}

/** Yes to the question that a case stands before; whether a cuff is firm is no question of the protocol's own. */
function answerAt(
  now: Case,
): { readonly line: string; readonly at: number; readonly case: Case } | undefined {
  const asked = now.due(now.at).next.find(({ event }) => event.kind === "answer")?.event;
  if (asked?.kind !== "answer" || asked.step.question === undefined) return undefined;
  const offered = now.offer({ ...asked, answer: "yes" }, now.at);
  if (offered.kind === "refused") throw new Error(offered.words);
  return { line: `answer "${asked.step.question}" yes`, at: now.at, case: offered.case };
}

/** What a scenario says of every step at some times, in their order. */
function expected(
  file: string,
  { name, steps, answers }: EarliestRun,
  times: readonly number[],
): ScenarioResult {
  const lines = times.flatMap((at, index) => {
    const earlier = times[index - 1] ?? -1;
    const due = answers.filter((answer) => answer.at < at && answer.at >= earlier).map(({ line }) => line);
    return [...due, ...steps.map((step) => `after ${at} s expect ${step} allowed`)];
  });
  TEXTS.one = `use "../${file}"\nscenario "All" for ${name} {\n${lines.join("\n")}\n}\n`;
  SITE.noteChange(FILE);
  const told = scenarioResults(SITE, FILE, { on: ON });
  expect(told?.errors.map(({ what }) => what)).toEqual([]);
  const [result] = told?.results ?? [];
  if (!result) throw new Error("there is no scenario");
  return result;
}

function isAllowed(offered: Offered): boolean {
  return offered.kind === "accepted" && offered.rules.length === 0;
}

describe.each(someOf(FILES))("along the earliest run of %s", (file) => {
  const run = earliestRun(file);

  test("what is expected to be allowed is what the runtime offers", () => {
    const some = fc.array(fc.oneof(fc.constantFrom(...run.instants), fc.nat({ max: 6000 })), {
      minLength: 5,
      maxLength: 8,
    });
    fc.assert(
      fc.property(some, (drawn) => {
        const times = [...new Set(drawn)].sort((a, b) => a - b);
        const told = expected(file, run, times).lines.filter(({ outcome }) => outcome !== "done");
        const offered = times.flatMap((at) => {
          const now = run.before(at);
          return run.steps.map((step) => isAllowed(now.offer(eventFrom(`start ${step}`), at)));
        });
        expect(told.map(({ outcome }) => outcome)).toEqual(offered.map((one) => (one ? "passed" : "failed")));
      }),
      { seed: firstSeed(), numRuns: howMany(20), endOnFailure: true },
    );
  });

  test("some step is allowed at each instant at which one that can be named starts", () => {
    const { lines } = expected(file, run, run.starts);
    const passed = new Set(lines.flatMap(({ outcome, when }) => (outcome === "passed" ? [when] : [])));
    expect(passed.size).toBe(run.starts.length);
    expect(run.starts.length).toBeGreaterThan(2);
  });
});
