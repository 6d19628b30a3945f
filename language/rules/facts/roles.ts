import { allSteps, type Protocol } from "../../model/index.ts";

/** Whether somebody of a role does the operation: by its name, or by what that role does in this protocol. */
export function operates(role: string, operators: ReadonlySet<string>): boolean {
  return OPERATES.test(role.replace(ASSISTS, "")) || operators.has(plain(role));
}

/** Whether a role names somebody who gives anaesthesia, alone or with others. */
export function givesAnaesthesia(role: string): boolean {
  return ANAESTHETIST.test(role);
}

/** Roles that do the operation in this protocol, whatever they are called. */
export function rolesThatOperate(protocol: Protocol): ReadonlySet<string> {
  const roles = [...allSteps(protocol)].flatMap((step) =>
    step.kind === "task" && OPERATION.test(step.text) ? step.roles : [],
  );
  return new Set(roles.filter((role) => !givesAnaesthesia(role) && !WATCHES.test(role)).map(plain));
}

/** Roles that hold the knife by their name. An operating department practitioner assists the anaesthetist. */
const OPERATES =
  /\b(?:surgeons?|surgical|operators?|operating (?:doctor|clinician|physician)|proceduralist|orthopa?edic\w*|podiatrist|dermatologist|scrub(?:bed)?)\b/i;
const ASSISTS = /\boperating (?:department|theatre|room)[\w ]*/gi;

/** Roles that help with the operation, or talk of it as those who give the anaesthetic do, and do not hold the knife. */
const WATCHES = /\bnurse|\bassistant|\boperating department/i;

/** Words of a task that is the operation. */
const OPERATION =
  /\b(?:operat(?:e|es|ion)|surgery|incis\w*|sutur\w*|reduc\w*|manipulat\w*|repair\w*|explor\w*|debrid\w*|stitch\w*|cast|splint)\b/i;

const ANAESTHETIST = /\ban(?:a)?esth/i;

function plain(role: string): string {
  return role.trim().toLowerCase();
}
