import type { PatientCondition, Protocol } from "../../model/index.ts";
import { writeInstead } from "../../model/text-changes.ts";
import type { Rule } from "../engine/definition.ts";
import { combine, found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import { allergenOf, speaksOfAllergy } from "../facts/allergies.ts";

export const rule: Rule = { judge: ({ protocol }) => judge(protocol) };

function judge(protocol: Protocol): Judgement {
  const { patients } = protocol;
  if (!patients) return HOLDS;
  const covered = patients.conditions.filter(({ decision }) => decision !== "contraindicated");
  const judged = combine(covered.map((one) => judgeCovered(one, protocol)));
  return judged.found.length === 0 && patients.incomplete
    ? undecided("a condition was not understood", patients.origin)
    : judged;
}

function judgeCovered(condition: PatientCondition, protocol: Protocol): Judgement {
  const isNamed = condition.condition === "allergy";
  if (!isNamed && !speaksOfAllergy(condition)) return HOLDS;
  switch (allergenOf(condition, protocol)) {
    case "what is given":
      return tell(condition);
    case "what is at hand":
      // A caution leaves it to the doctor who meets the emergency.
      return condition.decision === "caution" ? HOLDS : tell(condition);
    case "something else":
      return HOLDS;
    case "unknown":
      return isNamed
        ? undecided(
            `whether “${condition.text}” is an allergy to a drug of this protocol is not known`,
            condition.origin,
          )
        : HOLDS;
  }
}

function tell({ decision, condition, text, origin }: PatientCondition): Judgement {
  const isCaution = decision === "caution";
  return found({
    origin,
    what: `The protocol ${isCaution ? "only asks for caution in" : "allows"} a patient who is allergic to what it gives.`,
    label: "allergic to what is given",
    next: `Write \`contraindicated\` in place of \`${isCaution ? "caution" : "allowed"}\`; or say in the text which other drug the allergy is to. No reason makes it safe.`,
    repairs:
      condition === "allergy"
        ? writeInstead(origin, `contraindicated allergy${text === undefined ? "" : ` "${text}"`}`)
        : [],
  });
}
