import { allSteps, type Protocol, type Step } from "../../model/index.ts";
import type { Rule } from "../engine/definition.ts";
import { type Detected, found } from "../engine/judgement.ts";

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

/** Roles that hold the knife by their name. An operating department practitioner assists the anaesthetist. */
const OPERATES =
  /\b(?:surgeons?|surgical|operators?|operating (?:doctor|clinician|physician)|proceduralist|orthopa?edic\w*|podiatrist|dermatologist|scrub(?:bed)?)\b/i;
const ASSISTS = /\boperating (?:department|theatre|room)[\w ]*/gi;

/** Roles that talk of the operation, or help with it, and do not hold the knife. */
const WATCHES = /\ban(?:a)?esth|\bnurse|\bassistant|\boperating department/i;

/** Words of a task that is the operation. */
const OPERATION =
  /\b(?:operat(?:e|es|ion)|surgery|incis\w*|sutur\w*|reduc\w*|manipulat\w*|repair\w*|explor\w*|debrid\w*|stitch\w*|cast|splint)\b/i;

/** Roles that do the operation in this protocol, whatever they are called. */
function rolesThatOperate(protocol: Protocol): ReadonlySet<string> {
  const roles = [...allSteps(protocol)].flatMap((step) =>
    step.kind === "task" && OPERATION.test(step.text) ? step.roles : [],
  );
  return new Set(roles.filter((role) => !WATCHES.test(role)).map(plain));
}

function operatorOf({ roles, notes }: Step, operators: ReadonlySet<string>): string | undefined {
  const byRole = roles.find((role) => OPERATES.test(role.replace(ASSISTS, "")) || operators.has(plain(role)));
  if (byRole !== undefined) return byRole;
  return notes.find((note) => BY_OPERATOR.test(note));
}

/** A note that says it instead of `by`. */
const BY_OPERATOR =
  /\bby (?:the |an? )?(?:\w+ )?(?:surgeon|operator)\b|\b(?:surgeon|operator) (?:injects|gives|may inject|can inject)\b/i;

function plain(role: string): string {
  return role.trim().toLowerCase();
}

function tell({ origin }: Step, who: string): Detected {
  return {
    origin,
    what: `The injection is given by the person who operates: "${who}".`,
    label: "the operator injects",
    next: 'Let somebody inject who does nothing else, and watches cuff and patient to the end of recovery, such as `by "anaesthetist"`.',
  };
}
