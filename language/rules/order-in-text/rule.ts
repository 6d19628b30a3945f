import { eachPlaceOnce, originKey } from "@limbwright/shared/finding";
import type { Protocol, Step } from "../../model/index.ts";
import { allHandlers, innerSteps } from "../../model/index.ts";
import { isOfLeaks, isOfToxicitySigns } from "../../runs/index.ts";
import type { Rule } from "../engine/definition.ts";
import { type Detected, found } from "../engine/judgement.ts";
import { emergenciesFrom } from "../facts/emergencies-reached.ts";
import { type Order, orderReader, type ReadText } from "./orders.ts";

export const rule: Rule = {
  judge: ({ protocol }) => {
    const treated = inTreatments(protocol);
    const isTreated = new Set(treated.map(({ origin }) => originKey(origin)));
    const planned = inPlan(protocol).filter(({ origin }) => !isTreated.has(originKey(origin)));
    return found(
      ...tellAll(treated, orderReader(protocol.cuffs, true), true),
      ...tellAll(planned, orderReader(protocol.cuffs, false), false),
    );
  },
};

/** The steps of the answers to signs of toxicity and to leaks, and of the emergencies that they lead on to. */
function inTreatments(protocol: Protocol): Step[] {
  const answers = allHandlers(protocol).filter((one) => isOfToxicitySigns(one) || isOfLeaks(one));
  const reached = new Set(emergenciesFrom(protocol, answers));
  for (const emergency of reached) {
    for (const next of emergenciesFrom(protocol, [emergency])) reached.add(next);
  }
  return [...answers, ...reached].flatMap(({ steps }) => [...withHandlers(steps)]);
}

/** All else that is done while a cuff may be up, from the first inflation of a list of steps to its last deflation; and recovery. */
function inPlan({ steps = [], throughout, emergencies }: Protocol): Step[] {
  const begun = [...withHandlers(steps)];
  const first = begun.findIndex(({ kind }) => kind === "inflate");
  const plan = first < 0 ? [] : whileUp(begun.slice(first));
  const others = [...throughout, ...emergencies].flatMap((one) => whileUp([...withHandlers(one.steps)]));
  return [...plan, ...others];
}

function whileUp(steps: readonly Step[]): readonly Step[] {
  const last = steps.findLastIndex((step) => step.kind === "deflate" && !step.flatFor);
  return last < 0
    ? steps
    : [...steps.slice(0, last), ...steps.slice(last).filter(({ kind }) => kind === "recovery")];
}

function* withHandlers(steps: readonly Step[]): Generator<Step> {
  for (const step of steps) {
    yield step;
    for (const inner of innerSteps(step)) yield* withHandlers(inner);
    if (step.kind === "stage") for (const handler of step.handlers) yield* withHandlers(handler.steps);
  }
}

/** Once for each place, also where a routine is done twice. */
function tellAll(steps: readonly Step[], read: ReadText, isTreatment: boolean): Detected[] {
  return eachPlaceOnce(steps).flatMap((step) =>
    textsOf(step).flatMap((text) => {
      const order = read(text);
      return order === undefined || isSaidByStep(step, order) ? [] : [tell(step, text, order, isTreatment)];
    }),
  );
}

function textsOf(step: Step): readonly string[] {
  return step.kind === "task" ? [step.text, ...step.notes] : step.notes;
}

/** A note on a step that does what it says. */
function isSaidByStep({ kind }: Step, order: Order): boolean {
  switch (order) {
    case "lets down":
    case "lowers":
    case "swaps":
      return kind === "deflate";
    case "injects":
      return kind === "inject";
    case "leaves alone":
      return false;
  }
}

function tell({ origin }: Step, text: string, order: Order, isTreatment: boolean): Detected {
  const { does, label, next } = ORDERS[order];
  const meanwhile = isTreatment ? ", while toxicity or a leak is treated" : "";
  return {
    origin,
    what: `"${text}" ${does}${meanwhile}; it is a text, and no rule sees when.`,
    label,
    next: isTreatment && next.inTreatment ? next.inTreatment : next.inPlan,
  };
}

const DECIDED =
  'Write that the cuff stays up, and who decides on it: `task cuff-decision "…" by "anaesthetist"`.';

const ORDERS: Readonly<
  Record<Order, { does: string; label: string; next: { inPlan: string; inTreatment?: string } }>
> = {
  "lets down": {
    does: "lets the cuff down",
    label: "lets the cuff down",
    next: {
      inPlan: "Write it as a step, `deflate` and the cuff, so that it is judged; or leave it out.",
      inTreatment: DECIDED,
    },
  },
  lowers: {
    does: "lowers the pressure of the cuff",
    label: "lowers the pressure",
    next: {
      inPlan: "Leave it out: the target is `pressure` in `cuffs`, and a cuff goes down by `deflate`.",
      inTreatment: DECIDED,
    },
  },
  swaps: {
    does: "swaps the cuffs",
    label: "swaps the cuffs",
    next: {
      inPlan:
        "Write the steps: `inflate distal`, `confirm distal`, `deflate proximal`, with your names for the cuffs.",
    },
  },
  injects: {
    does: "has more of the drug injected",
    label: "injects on",
    next: {
      inPlan: "Write it as a step, `inject` and the dose, so that it is judged and counted; or leave it out.",
      inTreatment: "Write that nothing more is injected.",
    },
  },
  "leaves alone": {
    does: "leaves the patient without watch or monitor",
    label: "nobody watches",
    next: { inPlan: "Leave it out, or write it after `recovery`." },
  },
};
