import type { Handler, Protocol, Step } from "../model/index.ts";

/**
 * The protocol with some of its tasks and questions put into other words, so that its runs can be held against those of
 * the text that has these words.
 */
export function withTexts(protocol: Protocol, texts: ReadonlyMap<string, string>): Protocol {
  if (texts.size === 0) return protocol;
  const steps = (list: readonly Step[]): Step[] => list.map(step);
  const handlers = (list: readonly Handler[]): Handler[] =>
    list.map((handler) => ({ ...handler, steps: steps(handler.steps) }));
  const step = (one: Step): Step => {
    switch (one.kind) {
      case "task":
        return { ...one, text: texts.get(one.text) ?? one.text };
      case "ask":
        return {
          ...one,
          question: texts.get(one.question) ?? one.question,
          yes: steps(one.yes),
          no: steps(one.no),
        };
      case "stage":
        return { ...one, steps: steps(one.steps), handlers: handlers(one.handlers) };
      case "repeat":
      case "do":
        return { ...one, steps: steps(one.steps) };
      case "confirm":
        return one.otherwise ? { ...one, otherwise: steps(one.otherwise) } : one;
      default:
        return one;
    }
  };
  return {
    ...protocol,
    ...(protocol.steps && { steps: steps(protocol.steps) }),
    throughout: handlers(protocol.throughout),
    emergencies: protocol.emergencies.map((emergency) => ({ ...emergency, steps: steps(emergency.steps) })),
  };
}
