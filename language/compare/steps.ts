import { type Handler, type Protocol, quantityWords, type Step } from "../model/index.ts";
import { deedOf, handlerWords, stepWords } from "../runs/index.ts";
import { durationChange } from "./durations.ts";
import { limitChange } from "./limits.ts";
import { partedByKey } from "./parted.ts";
import { bothSides, type FoundChange, type Sides } from "./side.ts";
import { pairedSteps, writtenOut } from "./step-lists.ts";

/** A change of the steps. What it does to the runs is decided over the runs. */
export interface StepChange {
  readonly part: "steps" | "emergency";
  /** `order`: what is done, and when it comes. `time`: how long it takes. `text`: what a person reads. */
  readonly of: "order" | "time" | "text";
  readonly found: FoundChange;
}

/** The changes of the steps, and the steps of the earlier version whose texts were replaced, with their later texts. */
export interface StepChanges {
  readonly changes: readonly StepChange[];
  readonly replacedTexts: ReadonlyMap<Step, string>;
}

/** What is done: the plan, what may interrupt it, and the emergencies. */
export function stepChanges({ before, now }: Sides): StepChanges {
  const comparing = new Comparing();
  comparing.lists(before.steps ?? [], now.steps ?? [], { part: "steps", where: "steps" });
  comparing.handlers(before.throughout, now.throughout, { part: "steps", where: "throughout" });
  comparing.emergencies(before, now);
  return { changes: comparing.withMoves(), replacedTexts: comparing.replacedTexts };
}

interface Where {
  readonly part: StepChange["part"];
  readonly where: string;
}

/** A step that only one side has. */
interface Unpaired {
  readonly step: Step;
  readonly after: Step | undefined;
  readonly where: Where;
}

class Comparing {
  readonly #changes: StepChange[] = [];
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
    for (const old of gone) {
      this.#order(where, old, undefined, `\`when ${handlerWords(old)}\` is no longer there`);
    }
    for (const recent of added)
      this.#order(where, undefined, recent, `\`when ${handlerWords(recent)}\` is new`);
  }

  emergencies(before: Protocol, now: Protocol): void {
    const { pairs, gone, added } = partedByKey(before.emergencies, now.emergencies, ({ name }) => name);
    for (const [old, recent] of pairs) {
      const where: Where = { part: "emergency", where: `emergency ${recent.name}` };
      if (old.title !== recent.title) {
        this.#text(where, "The title", old, recent, ({ title }) => title ?? "no title");
      }
      this.lists(old.steps, recent.steps, where);
    }
    const where: Where = { part: "emergency", where: "emergencies" };
    for (const old of gone)
      this.#order(where, old, undefined, `The emergency \`${old.name}\` is no longer there`);
    for (const recent of added)
      this.#order(where, undefined, recent, `The emergency \`${recent.name}\` is new`);
  }

  /** What is gone in one place and new in another was moved. */
  withMoves(): StepChange[] {
    const { pairs, gone, added } = partedByKey(this.#gone, this.#added, ({ step }) => deedOf(step));
    for (const [old, recent] of pairs) this.#pair(old.step, recent.step, recent.where);
    const place = ({ after, where }: Unpaired) =>
      after ? `after \`${stepWords(after)}\`` : `first of the ${where.where}`;
    const told = ({ step }: Unpaired) => `\`${stepWords(step)}\``;
    return [
      ...this.#changes,
      ...pairs.map(([old, recent]) =>
        orderChange(
          recent.where,
          old.step,
          recent.step,
          `${told(recent)} comes ${place(recent)} now; before, ${place(old)}`,
        ),
      ),
      ...gone.map((old) =>
        orderChange(old.where, old.step, undefined, `${told(old)}, ${place(old)}, is no longer a step`),
      ),
      ...added.map((recent) =>
        orderChange(recent.where, undefined, recent.step, `${told(recent)} is a new step, ${place(recent)}`),
      ),
    ];
  }

  #pair(before: Step, now: Step, where: Where): void {
    this.#times(before, now, where);
    this.#texts(before, now, where);
    if (before.kind === "stage" && now.kind === "stage") {
      const inside = { ...where, where: `stage ${now.name}` };
      this.lists(before.steps, now.steps, inside);
      this.handlers(before.handlers, now.handlers, inside);
    } else if (before.kind === "ask" && now.kind === "ask") {
      this.lists(before.yes, now.yes, { ...where, where: `answer yes to “${now.question}”` });
      this.lists(before.no, now.no, { ...where, where: `answer no to “${now.question}”` });
    } else if (before.kind === "repeat" && now.kind === "repeat") {
      if (before.times !== now.times) {
        this.#order(
          where,
          before,
          now,
          `A round is done ${now.times} times now; before, ${before.times} times`,
        );
      }
      this.lists(before.steps, now.steps, where);
    } else if (before.kind === "confirm" && now.kind === "confirm") {
      this.lists(before.otherwise ?? [], now.otherwise ?? [], {
        ...where,
        where: `steps if \`${stepWords(now)}\` fails`,
      });
    }
  }

  #times(before: Step, now: Step, where: Where): void {
    const name = `The time of \`${wordsWithoutTime(now)}\``;
    const about = where.where;
    const times = [
      durationChange({ about, name }, before.takes, now.takes),
      durationChange({ about, name }, durationOf(before), durationOf(now)),
      before.kind === "deflate" && now.kind === "deflate"
        ? limitChange(
            { about, name: `The time for which \`${stepWords(now)}\` leaves it flat`, tighter: "lower" },
            before.flatFor,
            now.flatFor,
          )
        : [],
    ];
    for (const found of times.flat()) {
      const places = {
        before: { says: stepWords(before), origin: before.origin },
        now: { says: stepWords(now), origin: now.origin },
      };
      this.#changes.push({ part: where.part, of: "time", found: { ...found, ...places } });
    }
  }

  #texts(before: Step, now: Step, where: Where): void {
    const list = (texts: readonly string[]) => texts.map((text) => `“${text}”`).join(", ") || "none";
    const say = (what: string, of: (step: Step) => string) => {
      if (of(before) !== of(now)) this.#text(where, what, before, now, of);
    };
    say(`The note of \`${stepWords(now)}\``, ({ notes }) => list(notes));
    say(`Who does \`${stepWords(now)}\``, ({ roles }) => list(roles));
    say(`What \`${stepWords(now)}\` is about`, (step) =>
      step.kind === "task" ? (step.topic ?? "nothing said") : "",
    );
    const worded = (step: Step) =>
      step.kind === "task" ? step.text : step.kind === "ask" ? step.question : undefined;
    const [old, recent] = [worded(before), worded(now)];
    if (old === undefined || recent === undefined || old === recent) return;
    this.replacedTexts.set(before, recent);
    this.#text(
      where,
      now.kind === "task" ? "A task" : "A question",
      before,
      now,
      (step) => `“${worded(step)}”`,
    );
  }

  #handler(before: Handler, now: Handler, where: Where): void {
    const name = `\`when ${handlerWords(now)}\``;
    const inside: Where = { ...where, where: `when ${handlerWords(now)}` };
    if (before.kind === "event" && now.kind === "event") {
      const counted = (times: number | undefined) => {
        if (times === undefined) return "as often as it happens";
        return times === 1 ? "once" : `up to ${times} times`;
      };
      if (before.times !== now.times) {
        this.#order(
          where,
          before,
          now,
          `${name} is answered ${counted(now.times)} now; before, ${counted(before.times)}`,
        );
      }
      this.#limit(where, `The time before which ${name} is not answered`, before, now, [
        before.notBefore,
        now.notBefore,
      ]);
    }
    if (before.kind === "reaches" && now.kind === "reaches") {
      this.#limit(where, `The time at which ${name} is due`, before, now, [before.limit, now.limit], "lower");
    }
    this.lists(before.steps, now.steps, inside);
  }

  #limit(
    where: Where,
    name: string,
    before: Handler,
    now: Handler,
    [old, recent]: readonly [Parameters<typeof limitChange>[1], Parameters<typeof limitChange>[2]],
    tighter: "higher" | "lower" = "higher",
  ): void {
    for (const found of limitChange({ about: where.where, name, tighter }, old, recent)) {
      const places = {
        before: { says: old ? quantityWords(old) : handlerWords(before), origin: before.origin },
        now: { says: recent ? quantityWords(recent) : handlerWords(now), origin: now.origin },
      };
      this.#changes.push({ part: where.part, of: "time", found: { ...found, ...places } });
    }
  }

  #text<T extends { readonly origin: Step["origin"] }>(
    where: Where,
    what: string,
    before: T,
    now: T,
    says: (one: T) => string,
  ): void {
    this.#changes.push({
      part: where.part,
      of: "text",
      found: {
        kind: "needs-a-reader",
        about: where.where,
        what: `${what} is ${says(now)} now; before, ${says(before)}.`,
        ...bothSides(before, now, says),
      },
    });
  }

  #order(
    where: Where,
    before: { readonly origin: Step["origin"] } | undefined,
    now: { readonly origin: Step["origin"] } | undefined,
    what: string,
  ): void {
    this.#changes.push(orderChange(where, before, now, what));
  }
}

function orderChange(
  { part, where }: Where,
  before: { readonly origin: Step["origin"] } | undefined,
  now: { readonly origin: Step["origin"] } | undefined,
  what: string,
): StepChange {
  return {
    part,
    of: "order",
    found: {
      kind: "different",
      about: where,
      what: `${what}.`,
      ...bothSides(before, now, (one) => saidOf(one)),
      isOfFirstNumber: true,
    },
  };
}

function saidOf(one: object): string {
  if ("notes" in one) return stepWords(one as Step);
  return "event" in one || "timer" in one ? `when ${handlerWords(one as Handler)}` : "";
}

/** The times that are told beside it would stand there twice. */
function wordsWithoutTime(step: Step): string {
  return step.kind === "wait" || step.kind === "watch" || step.kind === "recovery"
    ? step.kind
    : stepWords(step);
}

function durationOf(step: Step) {
  return "duration" in step ? step.duration : step.kind === "remove-cannula" ? step.press : undefined;
}

/** Two answers to one event are told apart by the cuff they are about; two to one timer by the time. */
function handlerKey(handler: Handler): string {
  return handler.kind === "event" ? `${handler.event} ${handler.cuff ?? ""}` : `reaches ${handler.timer}`;
}
