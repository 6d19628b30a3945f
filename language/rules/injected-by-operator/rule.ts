import { allSteps, type Step } from "../../model/index.ts";
import type { Rule } from "../engine/definition.ts";
import { type Detected, found } from "../engine/judgement.ts";
import { operates, rolesThatOperate } from "../facts/roles.ts";

export const rule: Rule = {
  judge: ({ protocol }) => {
    const operators = rolesThatOperate(protocol);
    const seen = new Set<number>();
    return found(
      ...[...allSteps(protocol)].flatMap((step) => {
        if (step.kind !== "inject" || seen.has(step.origin.start.offset)) return [];
        seen.add(step.origin.start.offset);
        const who = operatorOf(step, operators);
        return who === undefined ? [] : [tell(step, who)];
      }),
    );
  },
};

function operatorOf({ roles, notes }: Step, operators: ReadonlySet<string>): string | undefined {
  const byRole = roles.find((role) => operates(role, operators));
  if (byRole !== undefined) return byRole;
  return notes.find((note) => BY_OPERATOR.test(note));
}

/** A note that says it instead of `by`. */
const BY_OPERATOR =
  /\bby (?:the |an? )?(?:\w+ )?(?:surgeon|operator)\b|\b(?:surgeon|operator) (?:injects|gives|may inject|can inject)\b/i;

function tell({ origin }: Step, who: string): Detected {
  return {
    origin,
    what: `The injection is given by the person who operates: "${who}".`,
    label: "the operator injects",
    next: 'Let somebody inject who does nothing else, and watches cuff and patient to the end of recovery, such as `by "anaesthetist"`.',
  };
}
