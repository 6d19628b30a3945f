import type { Origin } from "@limbwright/shared/finding";
import type { Handler, Protocol, Step } from "../../model/index.ts";
import { cuffNames } from "../automaton/facts.ts";
import { isInHand, type StepInHand, type StepOf, stepWords } from "../automaton/step-meaning.ts";

/** Slips of the hand, one of which may happen in a run. That they happen is common practice, no source. */
export const SLIPS = ["skipped", "twice", "swapped", "wrong-cuff", "wrong-line"] as const;

export type Slip = (typeof SLIPS)[number];

/** A protocol as it is followed by somebody who makes one slip. */
export interface Slipped {
  readonly slip: Slip;
  /** The slip in words: "`confirm proximal` is skipped". */
  readonly says: string;
  readonly origin: Origin;
  readonly protocol: Protocol;
}

/** Every way of making one slip in the plan or in what its handlers do. */
export function* slipsOf(protocol: Protocol): Generator<Slipped> {
  const cuffs = cuffNames(protocol);
  for (const { steps, ...slipped } of slipsIn(protocol.steps ?? [], cuffs)) {
    yield { ...slipped, protocol: { ...protocol, steps } };
  }
  for (const { handlers, ...slipped } of slipsInHandlers(protocol.throughout, cuffs)) {
    yield { ...slipped, protocol: { ...protocol, throughout: handlers } };
  }
}

type SlipAt = Omit<Slipped, "protocol">;

interface SlippedSteps extends SlipAt {
  readonly steps: readonly Step[];
}

interface SlippedHandlers extends SlipAt {
  readonly handlers: readonly Handler[];
}

function* slipsIn(steps: readonly Step[], cuffs: readonly string[]): Generator<SlippedSteps> {
  for (const [at, step] of steps.entries()) {
    const before = steps.slice(0, at);
    const after = steps.slice(at + 1);
    for (const { steps: instead, ...slip } of slipsAt(step, cuffs)) {
      yield { ...slip, steps: [...before, ...instead, ...after] };
    }
    const [next, ...rest] = after;
    if (next && isLeaf(step) && isLeaf(next)) {
      const says = `\`${stepWords(next)}\` is done before \`${stepWords(step)}\``;
      yield { slip: "swapped", says, origin: step.origin, steps: [...before, next, step, ...rest] };
    }
  }
}

/** The slips of one step, each with what is done in its place. */
function* slipsAt(step: Step, cuffs: readonly string[]): Generator<SlippedSteps> {
  if (isLeaf(step)) {
    yield* slipsOfLeaf(step, cuffs);
    return;
  }
  switch (step.kind) {
    case "stage":
      for (const { steps, ...slip } of slipsIn(step.steps, cuffs))
        yield { ...slip, steps: [{ ...step, steps }] };
      for (const { handlers, ...slip } of slipsInHandlers(step.handlers, cuffs)) {
        yield { ...slip, steps: [{ ...step, handlers }] };
      }
      return;
    case "do":
      for (const { steps, ...slip } of slipsIn(step.steps, cuffs))
        yield { ...slip, steps: [{ ...step, steps }] };
      return;
    case "repeat":
      yield* slipsInRounds(step, cuffs);
      return;
    case "ask":
      for (const { steps, ...slip } of slipsIn(step.yes, cuffs))
        yield { ...slip, steps: [{ ...step, yes: steps }] };
      for (const { steps, ...slip } of slipsIn(step.no, cuffs))
        yield { ...slip, steps: [{ ...step, no: steps }] };
      return;
    case "end-stage":
    case "go-to-emergency":
    case "finish":
      return;
  }
}

/** A slip is made in one round: in the first, or in the last. */
function* slipsInRounds(
  step: Step & { readonly kind: "repeat" },
  cuffs: readonly string[],
): Generator<SlippedSteps> {
  const others: Step[] = step.times > 1 ? [{ ...step, times: step.times - 1 }] : [];
  for (const { steps, ...slip } of slipsIn(step.steps, cuffs)) {
    const round: Step = { ...step, times: 1, steps };
    yield { ...slip, steps: [round, ...others] };
    if (others.length > 0) yield { ...slip, steps: [...others, round] };
  }
}

function* slipsOfLeaf(step: Step, cuffs: readonly string[]): Generator<SlippedSteps> {
  const says = `\`${stepWords(step)}\``;
  const { origin } = step;
  yield { slip: "skipped", says: `${says} is skipped`, origin, steps: [] };
  yield { slip: "twice", says: `${says} is done twice`, origin, steps: [step, step] };
  if ("cuffs" in step && step.cuffs.kind === "cuff") {
    const { name } = step.cuffs;
    for (const other of cuffs.filter((cuff) => cuff !== name)) {
      const instead = { ...step, cuffs: { kind: "cuff", name: other } } satisfies Step;
      yield { slip: "wrong-cuff", says: `${says} is done on ${other}`, origin, steps: [instead] };
    }
  }
  if (step.kind === "inject") {
    const instead: Step = { ...step, intoOtherLimb: true };
    yield {
      slip: "wrong-line",
      says: `${says} goes into the line of another limb`,
      origin,
      steps: [instead],
    };
  }
}

function* slipsInHandlers(
  handlers: readonly Handler[],
  cuffs: readonly string[],
): Generator<SlippedHandlers> {
  for (const [at, handler] of handlers.entries()) {
    for (const { steps, ...slip } of slipsIn(handler.steps, cuffs)) {
      yield {
        ...slip,
        handlers: handlers.map((one, number) => (number === at ? { ...handler, steps } : one)),
      };
    }
  }
}

/** A step that is done, not one that groups or leads on. */
function isLeaf(step: Step): step is StepInHand | StepOf<"wait-for"> {
  return isInHand(step) || step.kind === "wait-for";
}
