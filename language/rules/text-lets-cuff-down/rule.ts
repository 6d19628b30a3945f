import type { Handler, Protocol, Step } from "../../model/index.ts";
import { allHandlers, stepsReached } from "../../model/index.ts";
import { isOfLeaks, isOfToxicitySigns } from "../../runs/index.ts";
import type { Rule } from "../engine/definition.ts";
import { type Detected, found } from "../engine/judgement.ts";
import { emergenciesFrom } from "../facts/emergencies-reached.ts";

export const rule: Rule = {
  judge: ({ protocol }) => found(...texts(protocol).flatMap(({ step, text }) => tell(step, text) ?? [])),
};

interface Told {
  readonly step: Step;
  readonly text: string;
}

/** What is said in the answers to signs of toxicity and to leaks, and in the emergencies that they lead on to; each once. */
function texts(protocol: Protocol): Told[] {
  const answers = allHandlers(protocol).filter((one) => isOfToxicitySigns(one) || isOfLeaks(one));
  const steps = [...answers, ...reachedFrom(protocol, answers)].flatMap((one) => [
    ...stepsReached(one.steps),
  ]);
  const told = steps.flatMap((step) => {
    const notes = step.kind === "deflate" ? [] : step.notes;
    return [...(step.kind === "task" ? [step.text] : []), ...notes].map((text) => ({ step, text }));
  });
  return [
    ...new Map(
      told.map((one) => [`${one.step.origin.file}:${one.step.origin.start.offset}:${one.text}`, one]),
    ).values(),
  ];
}

/** The emergencies that some answers lead to, and those that these lead on to. */
function reachedFrom(protocol: Protocol, answers: readonly Handler[]) {
  const reached = new Set(emergenciesFrom(protocol, answers));
  for (const emergency of reached) {
    for (const next of emergenciesFrom(protocol, [emergency])) reached.add(next);
  }
  return [...reached];
}

const CUFF =
  "(?:the |both |all |a |any |this |that |other )*(?:(?:proximal|distal|upper|lower|second|last|pneumatic) )?(?:cuffs?|tourniquets?)";

/** Orders to let the cuff down, or to inject on. */
const LETS_DOWN = new RegExp(
  [
    `\\b(?:let|bring|take|put|drop)s? ${CUFF} (?:down|off)\\b`,
    `\\b(?:let|bring|take|put)s? down ${CUFF}\\b`,
    `\\b(?:deflate|release|open|loosen|undo|remove|empty|vent)s? ${CUFF}\\b`,
    `^${CUFF} (?:down|off|out)(?: at once| now| immediately)?$`,
  ].join("|"),
  "i",
);
const INJECTS =
  /\b(?:finish|continue|complete|go on with|resume) (?:the |with the )?injection\b|\b(?:inject|give) (?:the rest|what is left)\b/i;

/** What is forbidden, decided by somebody, or for later. */
const HELD =
  /\b(?:not|never|no|nobody|don't|do not|neither|nor|without|until|till|unless|before|only|if|when|whether|who|may|decid\w*|decision|ask\w*|stays?|remains?|keep\w*|after|avoid\w*)\b/i;

function tell({ origin }: Step, text: string): Detected | undefined {
  const clauses = text.split(/[.;:!?](?=\s|$)|,|\bthen\b|\bbut\b/).map((clause) => clause.trim());
  const told = clauses.find(
    (clause) => (LETS_DOWN.test(clause) || INJECTS.test(clause)) && !HELD.test(clause),
  );
  if (told === undefined) return undefined;
  const injects = INJECTS.test(told);
  return {
    origin,
    what: injects
      ? `"${text}" has more of the drug injected while the patient is treated for it, or a cuff leaks.`
      : `"${text}" lets the cuff down, which lets go what is still in the limb; and it is a text, of which no rule sees when.`,
    label: injects ? "injects on" : "lets the cuff down",
    next: injects
      ? "Write that nothing more is injected."
      : 'Write that the cuff stays up, and who decides on it: `task cuff-decision "…" by "anaesthetist"`.',
  };
}
