import type { Origin } from "@limbwright/shared/finding";
import type { Handler, Protocol, Step } from "../model/index.ts";
import { handlerWords, stepData, stepWithoutTimes, stepWords } from "../runs/index.ts";
import { type ChangeCode, type ChangedPart, kindOfCode } from "./codes.ts";
import { type Field, fieldChanges } from "./fields.ts";
import { partedByKey } from "./pairing.ts";
import { bothSides, type FoundChange, kindOf, type RunsCompared, type Sides } from "./side.ts";
import { pairedSteps, writtenOut } from "./step-lists.ts";

/** The changes of the steps, and the steps of the earlier version whose texts were replaced, with their later texts. */
interface StepChanges {
  readonly changes: readonly FoundChange[];
  readonly replacedTexts: ReadonlyMap<Step, string>;
}

/** What is done: the plan, what may interrupt it, and the emergencies. What a change does to the runs is decided over the runs. */
export function stepChanges({ before, now }: Sides): StepChanges {
  const comparison = new StepComparison();
  comparison.lists(before.steps ?? [], now.steps ?? [], { part: "steps", where: "steps" });
  comparison.handlers(before.throughout, now.throughout, { part: "steps", where: "throughout" });
  comparison.emergencies(before, now);
  return { changes: comparison.withMoves(), replacedTexts: comparison.replacedTexts };
}

/**
 * What a change of the steps does, by the runs. Where every run stays as it was, it is a matter of wording. A time that
 * looks looser is so only where some run is gained.
 */
export function decidedByRuns(found: FoundChange, difference: RunsCompared): FoundChange {
  const wording = kindOfCode(found.code, "wording");
  if (!wording || difference.kind !== "compared") return found;
  const { gained, lost, isInSomeRun } = difference;
  const { before, now, evidence = [] } = found;
  if (gained.length + lost.length === 0) {
    // Runs say nothing of what no planned run comes to: an answer to a leak, an emergency that nothing enters.
    const isInRuns =
      (!before || isInSomeRun("before", before.origin)) && (!now || isInSomeRun("now", now.origin));
    if (!isInRuns) return found;
    return { ...found, kind: "wording", what: `${found.what} ${wording.when}`, evidence: [] };
  }
  if (!kindOfCode(found.code, "looser")) return found;
  const has = (side: "looser" | "tighter") =>
    evidence.some((one) => one.kind === "value" && one.side === side);
  return { ...found, kind: kindOf(has("looser") && gained.length > 0, has("tighter") && lost.length > 0) };
}

interface Where {
  readonly part: ChangedPart;
  readonly where: string;
}

/** A step that only one side has. */
interface Unpaired {
  readonly step: Step;
  readonly after: Step | undefined;
  readonly where: Where;
}

const quoted = (text: string | undefined) => `“${text}”`;

function inWords(texts: readonly string[]): string {
  return texts.map(quoted).join(", ") || "none";
}

function wordsOf(step: Step): string | undefined {
  return step.kind === "task" ? step.text : step.kind === "ask" ? step.question : undefined;
}

/** A text of a step that a person reads. */
function textField(
  code: ChangeCode,
  name: (step: Step) => string,
  words: (step: Step) => string,
): Field<Step> {
  return { code, name, value: (step) => ({ value: words(step), origin: step.origin }) };
}

const TEXTS: readonly Field<Step>[] = [
  textField(
    "step-note",
    (step) => `The note of \`${stepWords(step)}\``,
    ({ notes }) => inWords(notes),
  ),
  textField(
    "step-role",
    (step) => `Who does \`${stepWords(step)}\``,
    ({ roles }) => inWords(roles),
  ),
  textField(
    "step-topic",
    (step) => `What \`${stepWords(step)}\` is about`,
    (step) => (step.kind === "task" ? (step.topic ?? "nothing said") : ""),
  ),
  textField(
    "step-text",
    ({ kind }) => (kind === "task" ? "A task" : "A question"),
    (step) => quoted(wordsOf(step)),
  ),
];

const TIMES: readonly Field<Step>[] = [
  { code: "step-time", name: timeName, duration: ({ takes }) => takes },
  {
    code: "step-time",
    name: timeName,
    duration: (step) =>
      "duration" in step ? step.duration : step.kind === "remove-cannula" ? step.press : undefined,
  },
  {
    code: "step-flat-time",
    name: (step) => `The time for which \`${stepWords(step)}\` leaves it flat`,
    limit: (step) => (step.kind === "deflate" ? step.flatFor : undefined),
  },
];

/** The times that are told beside it would stand there twice. */
function timeName(step: Step): string {
  const isTime = stepData(step).shortest !== undefined;
  return `The time of \`${isTime ? step.kind : stepWords(step)}\``;
}

const EMERGENCY: readonly Field<Protocol["emergencies"][number]>[] = [
  {
    code: "emergency-title",
    name: () => "The title",
    value: ({ title, origin }) => ({ value: title ?? "no title", origin }),
  },
];

const COUNTS: readonly Field<Handler>[] = [
  {
    code: "answer-count",
    name: (handler) => `\`${whenWords(handler)}\` is answered`,
    value: (handler) => ({ value: countWords(handler), origin: handler.origin }),
    what: (name, now, before) => `${name} ${now} now; before, ${before}.`,
  },
];

const LIMITS: readonly Field<Handler>[] = [
  {
    code: "answer-not-before",
    name: (handler) => `The time before which \`${whenWords(handler)}\` is not answered`,
    limit: (handler) => (handler.kind === "event" ? handler.notBefore : undefined),
  },
  {
    code: "answer-due",
    name: (handler) => `The time at which \`${whenWords(handler)}\` is due`,
    limit: (handler) => (handler.kind === "reaches" ? handler.limit : undefined),
  },
];

function countWords(handler: Handler): string {
  if (handler.kind !== "event" || handler.times === undefined) return "as often as it happens";
  return handler.times === 1 ? "once" : `up to ${handler.times} times`;
}

class StepComparison {
  readonly #changes: FoundChange[] = [];
  readonly #gone: Unpaired[] = [];
  readonly #added: Unpaired[] = [];
  readonly replacedTexts = new Map<Step, string>();

  lists(before: readonly Step[], now: readonly Step[], where: Where): void {
    let [oldLast, last]: [Step | undefined, Step | undefined] = [undefined, undefined];
    for (const [old, recent] of pairedSteps(writtenOut(before), writtenOut(now))) {
      if (old && recent) this.#pair(old, recent, where);
      else if (old) this.#gone.push({ step: old, after: oldLast, where });
      else if (recent) this.#added.push({ step: recent, after: last, where });
      oldLast = old ?? oldLast;
      last = recent ?? last;
    }
  }

  handlers(before: readonly Handler[], now: readonly Handler[], where: Where): void {
    // Of two answers to one timer, those at the same time belong together.
    const exact = partedByKey(before, now, (handler) => `${handlerKey(handler)} ${handlerWords(handler)}`);
    const { pairs, gone, added } = partedByKey(exact.gone, exact.added, handlerKey);
    for (const [old, recent] of [...exact.pairs, ...pairs]) this.#handler(old, recent, where);
    for (const old of gone)
      this.#order("answer-removed", where, `\`${whenWords(old)}\` is no longer there`, old);
    for (const recent of added)
      this.#order("answer-added", where, `\`${whenWords(recent)}\` is new`, undefined, recent);
  }

  emergencies(before: Protocol, now: Protocol): void {
    const { pairs, gone, added } = partedByKey(before.emergencies, now.emergencies, ({ name }) => name);
    for (const [old, recent] of pairs) {
      const where: Where = { part: "emergency", where: `emergency ${recent.name}` };
      this.#fields(EMERGENCY, old, recent, where);
      this.lists(old.steps, recent.steps, where);
    }
    const where: Where = { part: "emergency", where: "emergencies" };
    const named = ({ name }: { readonly name: string }) => `The emergency \`${name}\``;
    for (const old of gone) this.#order("emergency-removed", where, `${named(old)} is no longer there`, old);
    for (const recent of added)
      this.#order("emergency-added", where, `${named(recent)} is new`, undefined, recent);
  }

  /** What is gone in one place and new in another was moved. */
  withMoves(): readonly FoundChange[] {
    const { pairs, gone, added } = partedByKey(this.#gone, this.#added, ({ step }) => stepWithoutTimes(step));
    const place = ({ after, where }: Unpaired) =>
      after ? `after \`${stepWords(after)}\`` : `first of the ${where.where}`;
    const told = ({ step }: Unpaired) => `\`${stepWords(step)}\``;
    for (const [old, recent] of pairs) this.#pair(old.step, recent.step, recent.where);
    for (const [old, recent] of pairs) {
      const what = `${told(recent)} comes ${place(recent)} now; before, ${place(old)}`;
      this.#order("step-moved", recent.where, what, old.step, recent.step);
    }
    for (const old of gone)
      this.#order("step-removed", old.where, `${told(old)}, ${place(old)}, is no longer a step`, old.step);
    for (const one of added)
      this.#order("step-added", one.where, `${told(one)} is a new step, ${place(one)}`, undefined, one.step);
    return this.#changes;
  }

  #pair(before: Step, now: Step, where: Where): void {
    this.#fields(TIMES, before, now, where, stepWords);
    this.#fields(TEXTS, before, now, where);
    const [old, recent] = [wordsOf(before), wordsOf(now)];
    if (recent !== undefined && old !== recent) this.replacedTexts.set(before, recent);
    if (before.kind === "stage" && now.kind === "stage") {
      const inside = { ...where, where: `stage ${now.name}` };
      this.lists(before.steps, now.steps, inside);
      this.handlers(before.handlers, now.handlers, inside);
    } else if (before.kind === "ask" && now.kind === "ask") {
      this.lists(before.yes, now.yes, { ...where, where: `answer yes to ${quoted(now.question)}` });
      this.lists(before.no, now.no, { ...where, where: `answer no to ${quoted(now.question)}` });
    } else if (before.kind === "repeat" && now.kind === "repeat") {
      if (before.times !== now.times) {
        const what = `A round is done ${now.times} times now; before, ${before.times} times`;
        this.#order("step-rounds", where, what, before, now);
      }
      this.lists(before.steps, now.steps, where);
    } else if (before.kind === "confirm" && now.kind === "confirm") {
      const inside = { ...where, where: `steps if \`${stepWords(now)}\` fails` };
      this.lists(before.otherwise ?? [], now.otherwise ?? [], inside);
    }
  }

  #handler(before: Handler, now: Handler, where: Where): void {
    this.#fields(COUNTS, before, now, where, whenWords);
    for (const found of fieldChanges(LIMITS, where.where, before, now)) {
      const at = (side: "before" | "now", handler: Handler) => ({
        [side]: { says: found[side]?.says ?? handlerWords(handler), origin: handler.origin },
      });
      this.#changes.push({ ...found, part: where.part, ...at("before", before), ...at("now", now) });
    }
    this.lists(before.steps, now.steps, { ...where, where: whenWords(now) });
  }

  /** Told with the whole step or answer beside it, where `says` gives it in words. */
  #fields<T extends { readonly origin: Origin }>(
    fields: readonly Field<T>[],
    before: T,
    now: T,
    { part, where }: Where,
    says?: (one: T) => string,
  ): void {
    for (const found of fieldChanges(fields, where, before, now)) {
      this.#changes.push({ ...found, part, ...(says && bothSides(before, now, says)) });
    }
  }

  #order(code: ChangeCode, { part, where }: Where, what: string, before?: Placed, now?: Placed): void {
    this.#changes.push({ code, part, about: where, what: `${what}.`, ...bothSides(before, now, saidOf) });
  }
}

type Placed = Step | Handler | Protocol["emergencies"][number];

function saidOf(one: Placed): string {
  if ("notes" in one) return stepWords(one);
  return "kind" in one ? whenWords(one) : "";
}

function whenWords(handler: Handler): string {
  return `when ${handlerWords(handler)}`;
}

/** Two answers to one event are told apart by the cuff they are about; two to one timer by the time. */
function handlerKey(handler: Handler): string {
  return handler.kind === "event" ? `${handler.event} ${handler.cuff ?? ""}` : `reaches ${handler.timer}`;
}
