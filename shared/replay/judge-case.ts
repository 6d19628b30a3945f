import { clockText } from "../quantity/index.ts";
import type { RuleFile, RunsExplored } from "../rule-file/generated/rule-file.ts";
import { type Program, programOf } from "../runtime/program.ts";
import type { CaseRows } from "./case-rows.ts";
import { Course } from "./course.ts";
import type { CaseReport, Deviation, NotJudged } from "./deviation.ts";
import { inOrder, type Timeline } from "./in-order.ts";
import { AmountJudge } from "./judge-amounts.ts";
import { PatientJudge } from "./judge-patient.ts";
import { FINISH, KnownEvents, type Told } from "./known-events.ts";
import { LOOK_AHEAD } from "./readings.ts";
import { Stepper } from "./stepper.ts";
import { orderTies } from "./ties.ts";

export interface JudgeOptions {
  /** How many seconds after its time something may come before it is late. */
  readonly grace: number;
  /** The syringe's graduation in mL, as a decimal. */
  readonly graduation: string;
}

/** Judges cases against one protocol, which is made ready once. */
export class CaseJudge {
  readonly events: KnownEvents;
  readonly file: RuleFile;
  readonly #program: Program;
  readonly #stepper: Stepper;
  readonly #patients: PatientJudge;
  readonly #amounts: AmountJudge;
  /** The doses of the plan by the step that gives them. */
  readonly #doses: ReadonlyMap<string, string>;

  constructor(file: RuleFile, runs: RunsExplored, options: JudgeOptions) {
    this.file = file;
    this.events = new KnownEvents(file);
    this.#program = programOf(file, runs);
    this.#stepper = new Stepper(runs, options);
    this.#patients = new PatientJudge(file);
    this.#amounts = new AmountJudge(file, options);
    this.#doses = new Map(file.protocol.doses.map(({ name }) => [`inject ${name}`, name]));
  }

  judge(rows: CaseRows): CaseReport {
    const other = this.#otherProtocol(rows);
    if (other) return report(rows, 0, [], [other]);
    const timeline = inOrder(rows);
    if (timeline.told.length === 0) return report(rows, 0, [], noEvents(rows, timeline));
    const course = new Course(this.#program, this.#stepper, rows.notes);
    const isEnded = this.#follow(course, timeline);
    const end = isEnded ? undefined : this.#openEnd(course, timeline);
    const person = this.#patients.judge(rows);
    const amounts = this.#amounts.judge(rows, person.patient, this.#injectedIn(timeline));
    const deviations = [...person.deviations, ...course.deviations(), ...amounts.deviations];
    const notJudged = [
      ...timeline.notJudged,
      ...(end ? [end] : []),
      ...person.notJudged,
      ...amounts.notJudged,
    ];
    return this.#withUnreadable(rows, timeline.told.length, deviations, notJudged);
  }

  #injectedIn({ told }: Timeline): ReadonlySet<string> {
    const injected = new Set<string>();
    for (const { event } of told) {
      const dose = event.kind === "start" ? this.#doses.get(event.says) : undefined;
      if (dose !== undefined) injected.add(dose);
    }
    return injected;
  }

  /** Follows a case to its end; true where the end was told. */
  #follow(course: Course, { told }: Timeline): boolean {
    for (const [place, { at }] of told.entries()) {
      if (told[place + 1]?.at === at) orderTies(this.#stepper, course, told, place);
      course.take(told[place] as Told, () => told.slice(place + 1, place + 1 + LOOK_AHEAD));
    }
    return told.at(-1)?.event === FINISH || course.isOver;
  }

  #openEnd(course: Course, { told, notJudged }: Timeline): NotJudged | undefined {
    const { at, line } = told.at(-1) as Told;
    if (notJudged.length > 0 || course.isAtEnd(at)) return undefined;
    const where = course.inHand.startsWith("before ") ? course.inHand : `during ${course.inHand}`;
    const words = `The record ends at ${clockText(at)} ${where}; no row \`finish\` says that the case was over, so what should follow is not judged.`;
    return { because: "record-ends", words, line };
  }

  #otherProtocol({ protocols }: CaseRows): NotJudged | undefined {
    const { name, version } = this.file.protocol;
    const other = protocols.find(({ text }) => text !== name && text !== `${name} ${version}`);
    if (!other) return undefined;
    const words = `The case was recorded under ${other.text}, not under ${name} ${version}.`;
    return { because: "other-protocol", words, line: other.line };
  }

  /** Whether a row that is lost could make this look like a deviation: what is there would have its place, or its time, with it. */
  #mayBeMissing({ kind, what }: Deviation): boolean {
    if (kind === "left-out" || kind === "wrong-order" || kind === "too-late") return true;
    const isBeside = kind === "not-in-protocol" || kind === "unplanned-release";
    return isBeside && ["start", "event"].some((one) => this.events.knows(one, what));
  }

  /** What could not be read may be what seems to be missing: then it was not left out. */
  #withUnreadable(
    rows: CaseRows,
    events: number,
    deviations: readonly Deviation[],
    notJudged: readonly NotJudged[],
  ): CaseReport {
    const { unreadable } = rows;
    if (unreadable.length === 0) return report(rows, events, deviations, notJudged);
    const sure = deviations.filter((one) => !this.#mayBeMissing(one));
    const unsure = deviations.filter((one) => this.#mayBeMissing(one));
    const lines = [...unreadable].sort((a, b) => a - b);
    const which = `${lines.slice(0, 10).join(", ")}${lines.length > 10 ? " and more" : ""}`;
    const what = unsure.length > 0 ? ` ${unsure.map(({ words }) => words).join(" ")}` : "";
    const words = `Line ${which} of the case could not be read, so not all of it is judged.${what}`;
    return report(rows, events, sure, [
      { because: "unreadable-rows", words, line: lines[0] as number },
      ...notJudged.filter(({ because }) => because !== "record-ends"),
    ]);
  }
}

function noEvents(rows: CaseRows, { notJudged }: Timeline): NotJudged[] {
  if (notJudged.length > 0) return [...notJudged];
  const words = "Nothing that was done is recorded of the case with its time.";
  return [{ because: "no-event", words, line: rows.line }];
}

function report(
  { id, line, notes }: CaseRows,
  events: number,
  deviations: readonly Deviation[],
  notJudged: readonly NotJudged[],
): CaseReport {
  const outcome = deviations.length > 0 ? "deviates" : notJudged.length > 0 ? "not-judged" : "as-written";
  return { case: id, line, events, outcome, deviations, notJudged, notes: notes.all() };
}
