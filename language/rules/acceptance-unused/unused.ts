import type { Acceptance } from "../../model/index.ts";
import { removeStatement } from "../../model/text-changes.ts";
import type { Detected } from "../engine/definition.ts";

/** The finding about an acceptance that covers nothing in `where`. */
export function tellUnused(acceptance: Acceptance, where: string): Detected {
  return {
    origin: acceptance.ruleOrigin,
    what: `\`${acceptance.rule}\` finds nothing in ${where}; the acceptance is not needed.`,
    label: "not needed",
    next: "Remove the acceptance.",
    repairs: removeStatement(acceptance.origin, "the acceptance"),
  };
}
