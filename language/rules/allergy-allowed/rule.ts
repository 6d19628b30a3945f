import { agentsOf, canonicalName, type PatientCondition, type Protocol } from "../../model/index.ts";
import { writeInstead } from "../../model/text-changes.ts";
import type { Rule } from "../engine/definition.ts";
import { combine, found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import { type AnaestheticGroup, groupOf, groupOfName, isLocalAnaesthetic } from "../facts/drugs.ts";

export const rule: Rule = { judge: ({ protocol }) => judge(protocol) };

function judge(protocol: Protocol): Judgement {
  const { patients } = protocol;
  if (!patients) return HOLDS;
  const allowed = patients.conditions.filter(({ decision }) => decision === "allowed");
  const judged = combine(allowed.map((one) => judgeAllowed(one, protocol)));
  return judged.found.length === 0 && patients.incomplete
    ? undecided("a condition was not understood", patients.origin)
    : judged;
}

function judgeAllowed(condition: PatientCondition, protocol: Protocol): Judgement {
  const isNamed = condition.condition === "allergy";
  if (!isNamed && !SPEAKS_OF_ALLERGY.test(`${condition.text ?? ""} ${condition.because ?? ""}`)) return HOLDS;
  const against = againstWhat(condition, protocol);
  if (against === "another drug" || (against === "unknown" && !isNamed)) return HOLDS;
  if (against === "unknown") {
    return undecided(
      `whether “${condition.text}” is an allergy to a drug of this protocol is not known`,
      condition.origin,
    );
  }
  return found({
    origin: condition.origin,
    what: "The protocol is allowed for patients who are allergic to what it gives.",
    label: "allergic to what is given",
    next: "Write `contraindicated` in place of `allowed`; or say in the text which other drug the allergy is to. No reason makes it safe.",
    repairs: isNamed
      ? writeInstead(
          condition.origin,
          `contraindicated allergy${condition.text === undefined ? "" : ` "${condition.text}"`}`,
        )
      : [],
  });
}

const SPEAKS_OF_ALLERGY = /allerg|hypersensitiv|anaphyla/i;

/** To what a patient is allergic, as far as the words beside `allergy` tell: without any, to what the protocol gives. */
function againstWhat({ text, because }: PatientCondition, protocol: Protocol) {
  const said = text ?? because;
  if (text === undefined && !SPEAKS_OF_ALLERGY.test(because ?? "")) return "its own drug";
  const words = wordsIn(said ?? "");
  const agents = agentsOf(protocol);
  const names = new Set(agents.flatMap(({ name }) => [canonicalName(name), ...wordsIn(name)]));
  if (words.some((word) => names.has(word))) return "its own drug";
  const own = new Set(agents.filter(isLocalAnaesthetic).map(groupOf));
  const groups = words.map(groupNamed).filter((group) => group !== undefined);
  if (groups.length > 0) {
    // What is of no known group may be of any.
    const isOwn = groups.some((group) => own.has(group)) || own.has(undefined);
    return isOwn ? "its own drug" : "another drug";
  }
  return words.some((word) => word.startsWith("anaesthe")) ? "its own drug" : "unknown";
}

function groupNamed(word: string): AnaestheticGroup | undefined {
  if (/^amides?$/.test(word)) return "amide";
  return /^esters?$/.test(word) ? "ester" : groupOfName(word);
}

function wordsIn(text: string): string[] {
  return text
    .split(/[^\p{L}\d]+/u)
    .filter((word) => word !== "")
    .map(canonicalName);
}
