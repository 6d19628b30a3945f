import { exactText, inBase } from "@limbwright/shared/quantity";
import type { RuleFile } from "@limbwright/shared/rule-file";
import { againstFile, type Case, type Patient, start } from "@limbwright/shared/runtime";
import type { Scenario, ScenarioExpectation, ScenarioLine, WrittenQuantity } from "../model/index.ts";
import { VARIABLES } from "../population/index.ts";
import { runEvidence } from "../rules/engine/over-runs.ts";
import { happen, runTo } from "./go-on.ts";
import { judgeDose, judgePressure, judgeStep, stepExpectationWords } from "./judge.ts";
import type { Rehearsal } from "./rehearsal.ts";
import { type LineOutcome, type LineResult, outcomeOf, type ScenarioResult } from "./result.ts";
import { BEGINNING, Follower, type Instant, overdueWords, type Reached, whenText } from "./trail.ts";

/**
 * Takes the patient of a scenario through its protocol, line by line. Between lines each step takes its shortest time; a
 * line is judged at its instant, before steps that begin then. What no run of the protocol comes to is not decided.
 */
export function runScenario(scenario: Scenario, rehearsal: Rehearsal): Rehearsed {
  const patient = patientOf(scenario);
  if (typeof patient === "string") return markUntaken(notRun(scenario, patient));
  const { file, on } = rehearsal;
  const started = start(file, patient, {}, { on, despite: namesAgainst(file, on), rehearsal: true });
  if (started.kind === "refused") {
    return markUntaken(notRun(scenario, started.reasons.map(({ words }) => words).join(" ")));
  }
  return new Walk(rehearsal, started.case).goThrough(scenario);
}

/** Nobody is treated by a scenario: it shows what a protocol does, also one that nobody may follow yet, or any more. */
function namesAgainst(file: RuleFile, on: string): string[] {
  return againstFile(file, { on }).flatMap((one) => (one.kind === "no-day" ? [] : [one.name]));
}

/** A scenario that was run, with what it touched of its protocol. */
export interface Rehearsed {
  readonly result: ScenarioResult;
  /** The edges of the automaton that were taken. */
  readonly taken: readonly number[];
  /** The rules by which it was judged whether a step is refused. */
  readonly rules: readonly string[];
}

function markUntaken(result: ScenarioResult): Rehearsed {
  return { result, taken: [], rules: [] };
}

/** A scenario of which nothing could be judged. */
export function notRun({ title, protocol, origin }: Scenario, limit: string): ScenarioResult {
  return { title, protocol, origin, outcome: "not-decided", limit, lines: [], timeline: { lines: [] } };
}

/** One scenario on its way. */
class Walk {
  readonly #rehearsal: Rehearsal;
  readonly #follower: Follower;
  readonly #started: Case;
  #instant: Instant;
  /** Why no later line can be come to. */
  #lost: string | undefined;

  constructor(rehearsal: Rehearsal, started: Case) {
    this.#rehearsal = rehearsal;
    this.#follower = new Follower(rehearsal);
    this.#started = started;
    this.#instant = { trail: this.#follower.begin(started), now: started.at, since: BEGINNING };
  }

  goThrough({ title, protocol, origin, lines }: Scenario): Rehearsed {
    const results = lines.map((line) => this.#runLine(line));
    const outcome = outcomeOf(results);
    const expectsNothing = outcome === "not-decided" && results.every((line) => line.outcome === "done");
    const { trail } = this.#instant;
    return {
      result: {
        title,
        protocol,
        origin,
        outcome,
        ...(expectsNothing && { limit: EXPECTS_NOTHING }),
        lines: results,
        timeline: runEvidence(trail),
      },
      taken: trail.case.history.map(({ edge }) => edge),
      rules: lines.flatMap((line, index) => rulesAsked(line, results[index])),
    };
  }

  #runLine(line: ScenarioLine): LineResult {
    const outcome = this.#outcomeOf(line);
    const { trail, now, since } = this.#instant;
    if (isOfNoTime(line)) return { origin: line.origin, told: 0, ...outcome };
    const told = runEvidence(trail).lines.length;
    const when = this.#lost === undefined ? { when: whenText(now, since) } : {};
    return { origin: line.origin, told, ...when, ...outcome };
  }

  #outcomeOf(line: ScenarioLine): LineOutcome {
    switch (line.kind) {
      case "patient":
        return { outcome: "done" };
      case "run-to":
        return this.#goOn(line, () => runTo(this.#rehearsal, this.#follower, this.#instant, line.moment));
      case "happens": {
        const limit = this.#pass(line.after);
        const latest = line.after ? this.#instant.now : Number.POSITIVE_INFINITY;
        return this.#goOn(line, () =>
          limit === undefined
            ? happen(this.#rehearsal, this.#follower, this.#instant, line.happening, latest)
            : { instant: this.#instant, limit },
        );
      }
      case "expect":
        return this.#expect(line.expectation, this.#pass(line.after));
    }
  }

  /** Lets time pass to what `after` says; or says why that cannot be. */
  #pass(after: WrittenQuantity | undefined): string | undefined {
    if (!after || this.#lost !== undefined) return undefined;
    const { trail, now, since } = this.#instant;
    const to = since.at + inBase(after).valueOf();
    if (to < now) return `It is ${whenText(now, since)} already: put the line earlier, or correct its time.`;
    this.#instant = { trail: this.#follower.until(trail, to), now: to, since };
    return undefined;
  }

  /** Goes on by what a line says; where that cannot be, nothing after it can be come to. */
  #goOn({ origin }: ScenarioLine, going: () => Reached): LineOutcome {
    if (this.#lost !== undefined) return { outcome: "not-decided", limit: this.#lost };
    const overdue = overdueWords(this.#follower, this.#instant);
    const { instant, limit } = overdue === undefined ? going() : { instant: this.#instant, limit: overdue };
    this.#instant = instant;
    if (limit === undefined) return { outcome: "done" };
    this.#lost = `It comes after line ${origin.start.line}, which could not be done.`;
    return { outcome: "not-decided", limit };
  }

  #expect(expectation: ScenarioExpectation, late: string | undefined): LineOutcome {
    if (expectation.kind === "dose" || expectation.kind === "pressure") {
      const judged =
        expectation.kind === "dose"
          ? judgeDose(this.#started, expectation.dose, expectation.value)
          : judgePressure(this.#started, expectation.value);
      return late === undefined ? judged : notDecided(judged, late);
    }
    const limit = this.#lost ?? late ?? overdueWords(this.#follower, this.#instant);
    if (limit === undefined) return judgeStep(this.#rehearsal, this.#follower, this.#instant, expectation);
    return notDecided({ expected: stepExpectationWords(expectation, this.#instant) }, limit);
  }
}

/** The rule of a line that says by what a step is refused, where that was decided. */
function rulesAsked(line: ScenarioLine, result: LineResult | undefined): string[] {
  if (line.kind !== "expect" || line.expectation.kind !== "refused") return [];
  return result?.outcome === "not-decided" ? [] : [line.expectation.rule];
}

function notDecided({ expected }: { readonly expected?: string }, limit: string): LineOutcome {
  return { outcome: "not-decided", ...(expected !== undefined && { expected }), limit };
}

/** Who the patient is, a dose and a pressure are the same as long as a case goes on. */
function isOfNoTime(line: ScenarioLine): boolean {
  if (line.kind === "patient") return true;
  return line.kind === "expect" && (line.expectation.kind === "dose" || line.expectation.kind === "pressure");
}

const EXPECTS_NOTHING = "It expects nothing: write a line that begins with `expect`.";

/** The patient of a scenario, in the units of a rule file; or why there is none. */
function patientOf({ lines }: Scenario): Patient | string {
  const values = new Map<string, WrittenQuantity>();
  for (const line of lines) {
    if (line.kind !== "patient") continue;
    for (const variable of VARIABLES) {
      const value = line.values[variable];
      if (!value) continue;
      if (values.has(variable)) return `The patient's \`${variable}\` is said twice: keep one of the two.`;
      values.set(variable, value);
    }
  }
  const measures = [...values].map(([variable, { value, unit }]) => [
    variable,
    { value: exactText(value), unit: unit.ucum },
  ]);
  return Object.fromEntries(measures);
}
