import type { Patient, Pressure, RuleFile, RunEvent } from "../rule-file/generated/rule-file.ts";
import { type AgainstFile, againstFile, type FollowOptions } from "./against-file.ts";
import { type DoseForPatient, doseFor, pressureFor } from "./amounts.ts";
import { againstStart, type BrokenRule } from "./broken.ts";
import { type Due, dueAt } from "./due.ts";
import { eventOf } from "./events.ts";
import { type Offering, tryEvent } from "./offer.ts";
import {
  type Coming,
  comingBy,
  type Happening,
  type Pace,
  type Passage,
  passOn,
  passUntil,
} from "./passage.ts";
import { type Answers, againstPatient, type Measured, readMeasures, type Unsuitable } from "./patient.ts";
import { isOver, type Program, programOf, startsAStep } from "./program.ts";
import type { Refusal } from "./refusal.ts";

/**
 * One patient being taken through a protocol, from its first step on. It never changes: whatever happens gives
 * another case. Times count in seconds from the beginning. It has no clock: whoever uses it says what time it is.
 */
export interface Case {
  readonly file: RuleFile;
  readonly patient: Patient;
  /** When the last thing happened. */
  readonly at: number;
  /** All that happened so far, also what happened by itself. */
  readonly history: readonly Happening[];
  readonly isOver: boolean;
  /** What somebody does or sees at a time. */
  readonly offer: (event: RunEvent, at: number) => Offered;
  /** How things stand at a time from `at` on, if nothing is said before; throws a RangeError for the past. */
  readonly due: (at: number) => Due;
  /** Lets time pass without anybody saying anything; nothing that happens at `to` itself is taken. */
  readonly advance: (to: number, options?: AdvanceOptions) => Advanced;
  /** A dose of the protocol for this patient, exactly; undefined where there is no dose of that name. */
  readonly dose: (name: string) => DoseForPatient | undefined;
  /** The pressure that the cuffs are inflated to; undefined where the protocol gives none to this patient. */
  readonly pressure: Pressure | undefined;
}

export type Started =
  | { readonly kind: "started"; readonly case: Case }
  | { readonly kind: "refused"; readonly reasons: readonly Reason[] };

/** Why a case is not started, also in words for a reader. */
export type Reason = Unsuitable | AgainstFile | { readonly kind: "not-explored"; readonly words: string };

export type Offered =
  | {
      readonly kind: "accepted";
      readonly case: Case;
      /** What happened, with what was due before and what follows by itself. */
      readonly happenings: readonly Happening[];
      /** The rules that are broken by it all the same: because it is late, or because it was no choice. */
      readonly rules: readonly BrokenRule[];
      /** How many seconds after the latest time that the protocol allows. */
      readonly late?: number;
    }
  | (Refusal & {
      readonly kind: "refused";
      /** The case when it is done all the same; missing where that leads nowhere that the protocol knows. */
      readonly anyway?: Case;
    });

export interface AdvanceOptions {
  /** What happens by itself; `fixed` where it is missing. */
  readonly pace?: Pace;
  /** Stops right after the first thing that is what is looked for. */
  readonly until?: (happening: Happening) => boolean;
}

export interface Advanced {
  readonly case: Case;
  readonly happenings: readonly Happening[];
  /** Why the next step did not start, where it would have broken a rule. */
  readonly stoppedBy?: Refusal;
}

export interface StartOptions extends FollowOptions {
  /** The names of what `againstFile` says, which the caller has read and starts in spite of. */
  readonly despite?: readonly string[];
  /**
   * For scenarios and walk-throughs, never for a patient: a measure that is not given is taken to be in range,
   * and a contraindication that is not answered to be absent.
   */
  readonly rehearsal?: true;
}

/**
 * Starts a case, unless the file is not to be followed on that day, or the patient is not one that the protocol was proven for. A case
 * that is started goes on: no day that begins meanwhile ends it.
 */
export function start(
  file: RuleFile,
  patient: Patient,
  answers: Answers,
  { rehearsal, on, despite = [] }: StartOptions = {},
): Started {
  const { runs } = file;
  const against = againstPatient(file, patient, answers);
  const isOpen = ({ kind }: Unsuitable) => kind === "not-given" || kind === "not-answered";
  const isNamed = (one: AgainstFile) => one.kind !== "no-day" && despite.includes(one.name);
  const ofFile = againstFile(file, on === undefined ? {} : { on }).filter((one) => !isNamed(one));
  const reasons = [
    ...ofFile,
    ...notExplored(file),
    ...(rehearsal ? against.filter((one) => !isOpen(one)) : against),
  ];
  if (reasons.length > 0 || runs.kind === "not-explored") return { kind: "refused", reasons };
  const program = programOf(file, runs);
  const begun = passUntil(program, { standing: program.machine.start(), happenings: [] }, 0);
  return { kind: "started", case: new StartedCase(program, patient, begun) };
}

function notExplored({ runs }: RuleFile): Reason[] {
  if (runs.kind === "explored") return [];
  return [{ kind: "not-explored", words: `The runs of the protocol were not gone through: ${runs.limit}.` }];
}

class StartedCase implements Case {
  readonly file: RuleFile;
  readonly patient: Patient;
  readonly at: number;
  readonly history: readonly Happening[];
  readonly isOver: boolean;
  readonly #program: Program;
  readonly #passage: Passage;
  readonly #measured: Measured;

  constructor(program: Program, patient: Patient, passage: Passage) {
    this.file = program.file;
    this.patient = patient;
    this.at = passage.standing.at;
    this.history = passage.happenings;
    this.isOver = isOver(program, passage.standing);
    this.#program = program;
    this.#passage = passage;
    this.#measured = readMeasures(patient);
  }

  offer(event: RunEvent, at: number): Offered {
    const offered: Offering = tryEvent(this.#program, this.#passage, event, finite(at));
    if (offered.kind === "accepted") {
      const { passage, ...rest } = offered;
      return { ...rest, case: this.#with(passage), happenings: this.#since(passage) };
    }
    const { anyway, ...rest } = offered;
    return { ...rest, ...(anyway && { anyway: this.#with(anyway) }) };
  }

  due(at: number): Due {
    if (finite(at) < this.at) throw new RangeError("a case does not know how things stood in the past");
    return dueAt(this.#program, passUntil(this.#program, this.#passage, at), at);
  }

  advance(to: number, { pace = "fixed", until }: AdvanceOptions = {}): Advanced {
    const program = this.#program;
    numberOf(to);
    const isFound = (happening: Happening | undefined) => happening !== undefined && until?.(happening);
    const passage = passOn(
      program,
      this.#passage,
      pace,
      (coming, now) =>
        coming.at < to && !isFound(this.#since(now).at(-1)) && !startBreaksARule(program, coming, now),
    );
    const happenings = this.#since(passage);
    const next = isFound(happenings.at(-1)) ? undefined : comingBy(program, passage.standing, pace);
    const stoppedBy = next && next.at < to ? whyNotStarted(program, passage, next) : undefined;
    return { case: this.#with(passage), happenings, ...(stoppedBy && { stoppedBy }) };
  }

  dose(name: string): DoseForPatient | undefined {
    return doseFor(this.file.protocol, this.#measured, name);
  }

  get pressure(): Pressure | undefined {
    return pressureFor(this.file.protocol, this.#measured);
  }

  #with(passage: Passage): Case {
    return new StartedCase(this.#program, this.patient, passage);
  }

  #since({ happenings }: Passage): readonly Happening[] {
    return happenings.slice(this.history.length);
  }
}

function finite(time: number): number {
  if (!Number.isFinite(time)) throw new RangeError("a time is a number of seconds from the beginning");
  return time;
}

function numberOf(time: number): number {
  if (Number.isNaN(time)) throw new RangeError("a time is a number of seconds from the beginning");
  return time;
}

function startBreaksARule(program: Program, { move, at }: Coming, { standing }: Passage): boolean {
  const edge = program.automaton.edges[move.edge];
  if (!edge || !startsAStep(program, edge)) return false;
  return againstStart(program, standing, move, at).length > 0;
}

/** Why a step does not start by itself, though it would be its time. */
function whyNotStarted(program: Program, passage: Passage, { move, at }: Coming): Refusal | undefined {
  const edge = program.automaton.edges[move.edge];
  const event = edge && eventOf(edge);
  const offered = event && tryEvent(program, passage, event, at);
  if (offered?.kind !== "refused") return undefined;
  const { kind: _kind, anyway: _anyway, ...refusal } = offered;
  return refusal;
}
