import { eachPlaceOnce, type Origin } from "@limbwright/shared/finding";
import type { Protocol } from "./protocol.ts";
import type { Handler, Step } from "./step.ts";
import { innerSteps } from "./traversal.ts";

/** A text that the team follows, with where it stands. */
export interface WrittenText {
  readonly text: string;
  readonly origin: Origin;
  readonly kind: "task" | "note" | "question" | "preparation" | "condition";
  /** The step that a task, a note or a question is part of. */
  readonly step?: Step;
  /** Whether toxicity is treated here: in an emergency, or in the answer to its signs. */
  readonly treatsToxicity: boolean;
}

/** Every text of a protocol that tells the team what to do: each once, also where a routine is done twice. */
export function writtenTexts(protocol: Protocol): WrittenText[] {
  const texts = [
    ...ofPreparation(protocol),
    ...protocol.doses.flatMap(({ repeat }) =>
      repeat?.condition ? [plain(repeat.condition.value, repeat.condition.origin, "condition")] : [],
    ),
    ...inSteps(protocol.steps ?? [], false),
    ...protocol.throughout.flatMap((handler) => inHandler(handler, false)),
    ...protocol.emergencies.flatMap(({ steps }) => inSteps(steps, true)),
  ];
  return eachPlaceOnce(texts, ({ kind, text }) => `${kind} ${text}`);
}

function plain(text: string, origin: Origin, kind: WrittenText["kind"]): WrittenText {
  return { text, origin, kind, treatsToxicity: false };
}

/** What is only to be at hand is not given, and is left out. */
function ofPreparation({ preparation }: Protocol): WrittenText[] {
  return (preparation?.items ?? []).flatMap((item) =>
    item.kind === "text" ? [plain(item.text, item.origin, "preparation")] : [],
  );
}

function inSteps(steps: readonly Step[], treatsToxicity: boolean): WrittenText[] {
  return steps.flatMap((step) => [...ofStep(step, treatsToxicity), ...inside(step, treatsToxicity)]);
}

function ofStep(step: Step, treatsToxicity: boolean): WrittenText[] {
  const as = (text: string, kind: WrittenText["kind"]) => ({
    ...{ text, origin: step.origin, kind, step, treatsToxicity },
  });
  return [
    ...(step.kind === "task" ? [as(step.text, "task")] : []),
    ...(step.kind === "ask" ? [as(step.question, "question")] : []),
    ...step.notes.map((note) => as(note, "note")),
  ];
}

function inside(step: Step, treatsToxicity: boolean): WrittenText[] {
  return step.kind === "stage"
    ? [
        ...inSteps(step.steps, treatsToxicity),
        ...step.handlers.flatMap((handler) => inHandler(handler, treatsToxicity)),
      ]
    : innerSteps(step).flatMap((inner) => inSteps(inner, treatsToxicity));
}

function inHandler(handler: Handler, treatsToxicity: boolean): WrittenText[] {
  const isAnswer = handler.kind === "event" && handler.event === "toxicity-signs";
  return inSteps(handler.steps, treatsToxicity || isAnswer);
}
