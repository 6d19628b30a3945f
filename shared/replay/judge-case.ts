import { clockText } from "../quantity/index.ts";
import type { RuleFile, RunsExplored } from "../rule-file/generated/rule-file.ts";
import { type Program, programOf } from "../runtime/program.ts";
import type { CaseRows } from "./case-rows.ts";
import { Course } from "./course.ts";
import type { CaseReport, Deviation, NotJudged } from "./deviation.ts";
import { inOrder, type Timeline } from "./in-order.ts";
import { AmountJudge } from "./judge-amounts.ts";
import { PatientJudge } from "./judge-patient.ts";
import { FINISH, KnownEvents, type ToldEvent } from "./known-events.ts";
import { Stepper } from "./stepper.ts";

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
    if (timeline.events.length === 0) return report(rows, 0, [], noEvents(rows, timeline));
    const course = new Course(this.#program, this.#stepper, rows.notes);
    const isPlain = this.#follow(course, timeline, rows.isPlain);
    const end = isPlain ? undefined : this.#openEnd(course, timeline);
    const { patient, ...person } = this.#patients.judge(rows);
    const injected = timeline.events.flatMap(({ kind, says }) =>
      kind === "start" ? (this.#doses.get(says) ?? []) : [],
    );
    const amounts = this.#amounts.judge(rows, patient, [...new Set(injected)]);
    const deviations = [...person.deviations, ...course.deviations(), ...amounts.deviations];
    const notJudged = [
      ...timeline.notJudged,
      ...(end ? [end] : []),
      ...person.notJudged,
      ...amounts.notJudged,
    ];
    return this.#withUnreadable(rows, timeline.events.length, deviations, notJudged);
  }

  /** Follows a case to its end; true where the end was told. */
  #follow(course: Course, { events, at, lines }: Timeline, isPlain: boolean): boolean {
    const { length } = events;
    const told = (index: number) => ({
      event: events[index] as ToldEvent,
      at: at[index] as number,
      line: lines[index] as number,
    });
    const rest = isPlain ? undefined : [...events.keys()];
    for (let place = 0; place < length; place += 1) {
      const index = rest ? this.#nextOf(course, rest, events, at, place) : place;
      const event = events[index] as ToldEvent;
      const time = at[index] as number;
      if (course.isOneState && event.kind !== "leak" && course.isIdle) {
        const clean = this.#stepper.clean(course.place, event, course.began, time);
        if (clean && clean.untold.length === 0) {
          course.place = this.#stepper.go(clean, course.began, time);
          continue;
        }
      }
      const next = [];
      for (let ahead = place + 1; ahead < length && ahead <= place + Course.lookAhead; ahead += 1) {
        next.push(told(rest ? (rest[ahead] as number) : ahead));
      }
      course.take(told(index), next);
    }
    return events.at(-1) === FINISH || course.isOver;
  }

  /** Of what has the same time, what the protocol provides for comes first. */
  #nextOf(
    course: Course,
    rest: number[],
    events: readonly ToldEvent[],
    at: readonly number[],
    place: number,
  ): number {
    const time = at[rest[place] as number] as number;
    const clean = (index: number) =>
      this.#stepper.clean(course.place, events[index] as ToldEvent, course.began, time);
    let chosen = place;
    let isUntold = true;
    for (let other = place; other < rest.length && at[rest[other] as number] === time; other += 1) {
      const way = clean(rest[other] as number);
      if (!way || !isUntold) continue;
      if (way.untold.length === 0) [chosen, isUntold] = [other, false];
      else if (chosen === place && !clean(rest[place] as number)) chosen = other;
    }
    const [index = 0] = rest.splice(chosen, 1);
    rest.splice(place, 0, index);
    return index;
  }

  #openEnd(course: Course, { at, lines, notJudged }: Timeline): NotJudged | undefined {
    if (notJudged.length > 0 || course.isAtEnd(FINISH, at.at(-1) ?? 0)) return undefined;
    const where = course.inHand.startsWith("before ") ? course.inHand : `during ${course.inHand}`;
    const words = `The record ends at ${clockText(at.at(-1) ?? 0)} ${where}; no row \`finish\` says that the case was over, so what should follow is not judged.`;
    return { because: "record-ends", words, line: lines.at(-1) ?? 0 };
  }

  #otherProtocol({ protocols }: CaseRows): NotJudged | undefined {
    const { name, version } = this.file.protocol;
    const other = protocols.find(({ text }) => text !== name && text !== `${name} ${version}`);
    if (!other) return undefined;
    const words = `The case was recorded under ${other.text}, not under ${name} ${version}.`;
    return { because: "other-protocol", words, line: other.line };
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
    const sure = deviations.filter(({ kind }) => kind !== "left-out");
    const unsure = deviations.filter(({ kind }) => kind === "left-out");
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
