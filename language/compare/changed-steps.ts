import { type Handler, holdsSteps, type Protocol, type Step } from "../model/index.ts";

/** Gives another step for a step, without what is inside it; `around` are the stages around it, the innermost last. */
type ChangeStep = (step: Step, around: readonly string[]) => Step;

/**
 * A protocol as its steps are compared: each place where a routine is done has steps of its own, so that what is said of one place is
 * not said of all; and `end stage` names no stage where it ends the one it stands in.
 */
export function comparableSteps(protocol: Protocol): Protocol {
  return withSteps(protocol, (step, around) => {
    if (step.kind !== "end-stage" || step.stage === undefined || step.stage !== around.at(-1))
      return { ...step };
    const { stage: _own, ...bare } = step;
    return bare;
  });
}

/** With some of its tasks and questions put into other words, so that its runs can be held against those of the text that has these. */
export function withTexts(protocol: Protocol, texts: ReadonlyMap<Step, string>): Protocol {
  if (texts.size === 0) return protocol;
  return withSteps(protocol, (step) => {
    const words = texts.get(step);
    if (words === undefined) return step;
    if (step.kind === "ask") return { ...step, question: words };
    return step.kind === "task" ? { ...step, text: words } : step;
  });
}

function withSteps(protocol: Protocol, change: ChangeStep): Protocol {
  const steps = (list: readonly Step[], around: readonly string[]): Step[] =>
    list.map((step) => inside(change(step, around), around));
  const handlers = (list: readonly Handler[], around: readonly string[]): Handler[] =>
    list.map((handler) => ({ ...handler, steps: steps(handler.steps, around) }));
  const inside = (step: Step, around: readonly string[]): Step => {
    if (!holdsSteps(step)) return step;
    switch (step.kind) {
      case "ask":
        return { ...step, yes: steps(step.yes, around), no: steps(step.no, around) };
      case "stage": {
        const within = [...around, step.name];
        return { ...step, steps: steps(step.steps, within), handlers: handlers(step.handlers, within) };
      }
      case "repeat":
      case "do":
        return { ...step, steps: steps(step.steps, around) };
      case "confirm":
        return step.otherwise ? { ...step, otherwise: steps(step.otherwise, around) } : step;
    }
  };
  return {
    ...protocol,
    ...(protocol.steps && { steps: steps(protocol.steps, []) }),
    throughout: handlers(protocol.throughout, []),
    emergencies: protocol.emergencies.map((one) => ({ ...one, steps: steps(one.steps, []) })),
  };
}
