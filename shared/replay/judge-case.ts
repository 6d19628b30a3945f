import { clockText } from "../quantity/index.ts";
import type { RuleFile, RunsExplored } from "../rule-file/generated/rule-file.ts";
import { type Program, programOf } from "../runtime/program.ts";
import type { CaseRows } from "./case-rows.ts";
import { Course } from "./course.ts";
import type { CaseNotJudged, CaseReport, Deviation } from "./deviation.ts";
import { inOrder, type Timeline } from "./in-order.ts";
import { AmountJudge, type BegunDoses } from "./judge-amounts.ts";
import { PatientJudge } from "./judge-patient.ts";
import { FINISH, KnownEvents, type Told } from "./known-events.ts";
import { LOOK_AHEAD } from "./readings.ts";
import { Stepper } from "./stepper.ts";
import { orderTies } from "./ties.ts";
import type { WayOptions } from "./way-steps.ts";

export type JudgeOptions = WayOptions;

/** Judges cases against one protocol, which is made ready once. */
export class CaseJudge {
  readonly events: KnownEvents;
  readonly file: RuleFile;
  readonly #program: Program;
  readonly #stepper: Stepper;
  readonly #patients: PatientJudge;
  readonly #amounts: AmountJudge;

  constructor(file: RuleFile, runs: RunsExplored, options: JudgeOptions) {
    this.file = file;
    this.events = new KnownEvents(file);
    this.#program = programOf(file, runs);
    this.#stepper = new Stepper(runs, options);
    this.#patients = new PatientJudge(file);
    this.#amounts = new AmountJudge(file);
  }

  judge(rows: CaseRows): CaseReport {
    const other = this.#otherProtocol(rows);
    if (other) return report(rows, 0, [], [other]);
    const timeline = inOrder(rows);
    if (timeline.told.length === 0) return report(rows, 0, [], noEvents(rows, timeline));
    const { day } = timeline;
    const course = new Course(this.#program, this.#stepper, rows.notes);
    const isEnded = this.#follow(course, timeline);
    const end = isEnded ? undefined : this.#openEnd(course, timeline);
    const person = this.#patients.judge(rows);
    const amounts = this.#amounts.judge(rows, person.patient, begunIn(timeline));
    const deviations = [...person.deviations, ...course.deviations(), ...amounts.deviations];
    const notJudged = [
      ...timeline.notJudged,
      ...(end ? [end] : []),
      ...person.notJudged,
      ...amounts.notJudged,
    ];
    return withUnreadable(
      report(rows, timeline.told.length, deviations, notJudged, day),
      rows,
      course.unsure,
    );
  }

  /** Follows a case to its end; true where the end was told. */
  #follow(course: Course, { told }: Timeline): boolean {
    for (const [place, { at }] of told.entries()) {
      if (told[place + 1]?.at === at) orderTies(this.#stepper, course, told, place);
      course.take(told[place] as Told, () => told.slice(place + 1, place + 1 + LOOK_AHEAD));
    }
    return told.at(-1)?.event === FINISH || course.isOver;
  }

  #openEnd(course: Course, { told, notJudged }: Timeline): CaseNotJudged | undefined {
    const { at, line } = told.at(-1) as Told;
    if (notJudged.length > 0 || course.isAtEnd(at)) return undefined;
    const where = course.isBetweenSteps ? course.inHand : `during ${course.inHand}`;
    const words = `The record ends at ${clockText(at)} ${where}; no row \`finish\` says that the case was over, so what should follow is not judged.`;
    return { because: "record-ends", words, line };
  }

  #otherProtocol({ protocols }: CaseRows): CaseNotJudged | undefined {
    const { name, version } = this.file.protocol;
    const other = protocols.find(({ text }) => text !== name && text !== `${name} ${version}`);
    if (!other) return undefined;
    const words = `The case was recorded under ${other.text}, not under ${name} ${version}.`;
    return { because: "other-protocol", words, line: other.line };
  }
}

/** The doses that were begun. */
function begunIn({ told }: Timeline): BegunDoses {
  const injected = new Set<string>();
  const begun = new Map<string, number>();
  for (const { event } of told) {
    const { kind, step } = event;
    if (kind !== "start" || step?.dose === undefined) continue;
    if (step.kind === "inject") injected.add(step.dose);
    begun.set(step.dose, (begun.get(step.dose) ?? 0) + 1);
  }
  return { injected, begun };
}

/** What could not be read may be what seems to be missing: then it was not left out. */
function withUnreadable(whole: CaseReport, rows: CaseRows, mayBeNone: ReadonlySet<Deviation>): CaseReport {
  const { unreadable } = rows;
  if (unreadable.length === 0) return whole;
  const sure = whole.deviations.filter((one) => !mayBeNone.has(one));
  const unsure = whole.deviations.filter((one) => mayBeNone.has(one));
  const lines = [...unreadable].sort((a, b) => a - b);
  const which = `${lines.slice(0, 10).join(", ")}${lines.length > 10 ? " and more" : ""}`;
  const what = unsure.length > 0 ? ` ${unsure.map(({ words }) => words).join(" ")}` : "";
  const words = `Line ${which} of the case could not be read, so not all of it is judged.${what}`;
  const notJudged: CaseNotJudged[] = [
    { because: "unreadable-rows", words, line: lines[0] as number },
    ...whole.notJudged.filter(({ because }) => because !== "record-ends"),
  ];
  return report(rows, whole.events, sure, notJudged, whole.day);
}

function noEvents(rows: CaseRows, { notJudged }: Timeline): CaseNotJudged[] {
  if (notJudged.length > 0) return [...notJudged];
  const words = "Nothing that was done is recorded of the case with its time.";
  return [{ because: "no-event", words, line: rows.line }];
}

function report(
  { id, line, notes }: CaseRows,
  events: number,
  deviations: readonly Deviation[],
  notJudged: readonly CaseNotJudged[],
  day?: string,
): CaseReport {
  const outcome = deviations.length > 0 ? "deviates" : notJudged.length > 0 ? "not-judged" : "as-written";
  const dated = day === undefined ? {} : { day };
  return { case: id, line, ...dated, events, outcome, deviations, notJudged, notes: notes.all() };
}
