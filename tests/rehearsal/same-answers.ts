import type { readRuleFile } from "@limbwright/shared/rule-file";
import type {
  againstFile,
  Case,
  contraindicationsOf,
  Patient,
  RunEvent,
  start,
} from "@limbwright/shared/runtime";

/** What the page and Node both have of the runtime. */
export interface Runtime {
  readonly readRuleFile: typeof readRuleFile;
  readonly againstFile: typeof againstFile;
  readonly contraindicationsOf: typeof contraindicationsOf;
  readonly start: typeof start;
}

export interface Walks {
  readonly ruleFile: string;
  readonly seed: number;
  readonly count: number;
}

/** One answer of the runtime, as JSON, and what it was. */
export interface Answers {
  readonly answers: readonly string[];
  readonly started: number;
  readonly accepted: number;
  readonly refused: number;
}

/**
 * All that a runtime answers on random cases: patients inside the box and beside it, what can come next and what cannot, early,
 * in time and late, also done all the same after a refusal. It stands for itself, because it is also sent to a page.
 */
export function answersOn(runtime: Runtime, { ruleFile, seed, count }: Walks): Answers {
  const reading = runtime.readRuleFile(ruleFile);
  if (reading.kind === "refused") throw new Error(JSON.stringify(reading.faults));
  const { file } = reading;
  const ON = "2026-11-25";
  let state = seed;
  // A linear congruential generator: the same numbers wherever it runs.
  const below = (most: number) => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return Math.floor((state / 2 ** 32) * most);
  };
  const pick = <T>(from: readonly T[]): T => from[below(from.length)] as T;
  const answers: string[] = [];
  const against = runtime.againstFile(file, { on: ON });
  const despite = against.flatMap((one) => (one.kind === "no-day" ? [] : [one.name]));
  const tally = { started: 0, accepted: 0, refused: 0 };
  const tell = (what: unknown) => answers.push(JSON.stringify(what));

  const starts =
    file.runs.kind === "explored" ? file.runs.automaton.edges.flatMap(({ step }) => step ?? []) : [];
  const cuffs = file.protocol.cuffs.cuffs.map(({ name }) => name);
  const { bounds } = file.protocol.patients;

  const patient = (): Patient =>
    Object.fromEntries(
      Object.entries(bounds).map(([measure, { unit, lower, upper }]) => {
        const [from, to] = [Number(lower?.value ?? 0), Number(upper?.value ?? 100)];
        const beside = below(40) === 0 ? 1000 : 0;
        return [measure, { value: String(from + below(to - from + 1) + beside), unit }];
      }),
    );

  const anything = (now: Case, at: number): RunEvent => {
    const { next } = now.due(at);
    if (below(6) === 0) return { kind: "leak", cuff: pick(cuffs) };
    if (below(6) === 0 || next.length === 0) return { kind: "start", step: pick(starts) };
    return pick(next).event;
  };

  const standing = (now: Case) => [now.at, now.isOver, now.history.length, now.history.at(-1)];

  const offer = (now: Case, event: RunEvent, at: number): Case => {
    const offered = now.offer(event, at);
    if (offered.kind === "accepted") {
      const { case: next, ...rest } = offered;
      tell([event, rest, standing(next)]);
      tally.accepted += 1;
      return next;
    }
    const { anyway, ...rest } = offered;
    tell([event, rest, anyway && standing(anyway)]);
    tally.refused += 1;
    return (below(2) === 0 ? anyway : undefined) ?? now;
  };

  const advance = (from: Case): Case => {
    const pace = pick(["must", "fixed", "shortest"] as const);
    const { case: next, ...rest } = from.advance(from.at + below(900), { pace });
    tell([rest, standing(next)]);
    return next;
  };

  const walk = (first: Case) => {
    let now = first;
    for (let left = 60; left > 0 && !now.isOver; left -= 1) {
      const due = now.due(now.at + pick([0, 0, 0, 15, 60, 300, 1800]));
      tell(due);
      const event = anything(now, due.at);
      const from = due.next.find((one) => JSON.stringify(one.event) === JSON.stringify(event))?.from;
      now = offer(now, event, from !== undefined && below(2) === 0 ? Math.max(from, due.at) : due.at);
      if (below(8) === 0) now = advance(now);
    }
  };

  for (let done = 0; done < count; done += 1) {
    const conditions = runtime.contraindicationsOf(file);
    const has = Object.fromEntries(conditions.map((condition) => [condition, below(60) === 0]));
    const started = runtime.start(file, patient(), has, { on: ON, despite });
    if (started.kind === "refused") {
      tell(started);
      continue;
    }
    tally.started += 1;
    tell([file.protocol.doses.map(({ name }) => started.case.dose(name)), started.case.pressure]);
    walk(started.case);
  }
  return { answers, ...tally };
}
