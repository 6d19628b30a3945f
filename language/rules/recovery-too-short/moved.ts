import { innerSteps, type Protocol, type Step, stepsReached } from "../../model/index.ts";
import type { Detected } from "../engine/judgement.ts";

/** Texts that move the patient while recovery goes on: its own notes, and what a stage around it may have done meanwhile. */
export function movedDuring({ steps = [], emergencies }: Protocol): Detected[] {
  return [steps, ...emergencies.map((one) => one.steps)].flatMap(movedIn);
}

function movedIn(steps: readonly Step[]): Detected[] {
  return steps.flatMap((step) => {
    if (step.kind === "recovery") return step.notes.filter(moves).map((text) => tell(step, text));
    const inside = innerSteps(step).flatMap(movedIn);
    if (step.kind !== "stage" || !holdsRecovery(step.steps)) return inside;
    const meanwhile = step.handlers.flatMap((handler) => [...stepsReached(handler.steps)]);
    const texts = (one: Step) => (one.kind === "task" ? [one.text, ...one.notes] : one.notes);
    return [
      ...inside,
      ...meanwhile.flatMap((one) =>
        texts(one)
          .filter(moves)
          .map((text) => tell(one, text)),
      ),
    ];
  });
}

function holdsRecovery(steps: readonly Step[]): boolean {
  return [...stepsReached(steps)].some(({ kind }) => kind === "recovery");
}

const AWAY =
  "(?:wards?|x-?ray|radiology|imaging|scanner|ct|plaster room|day (?:unit|room|case)|corridor|another room|waiting (?:room|area)|theatre|car)";
const MOVES = new RegExp(
  `\\b(?:mov|transfer|transport|wheel|tak|walk|go|sen[dt]|bring|push)\\w*\\b.*\\b(?:to|into|in) (?:the |a |an )?${AWAY}\\b`,
  "i",
);
const LEAVES = new RegExp(
  `^(?:to|in|on) (?:the |a )?${AWAY}\\b|\\b(?:go|goes|going|sent?) home\\b|^(?:discharge[ds]?|home)\\b|\\bon the way (?:to|back)\\b|\\b(?:in|on) the ward\\b`,
  "i",
);

/** What is only said to come later, or not to be. */
const LATER =
  /\b(?:not?|never|nobody|nothing|until|till|before|after(?:wards)?|then|over|only|later|stays?|remains?|once|when|if|fit)\b/i;

/** Whether a text moves the patient somewhere else, clause by clause. */
function moves(text: string): boolean {
  const clauses = text.split(/[.;:!?](?=\s|$)|,/).map((clause) => clause.trim());
  return clauses.some((clause) => (MOVES.test(clause) || LEAVES.test(clause)) && !LATER.test(clause));
}

function tell({ origin }: Step, text: string): Detected {
  return {
    origin,
    severity: "doubtful",
    what: `"${text}" moves the patient while recovery goes on; on the way nobody looks for signs, and the rescue is not at hand.`,
    label: "moves the patient",
    next: "Let the patient stay until recovery is over, and write the move as a step after it.",
  };
}
