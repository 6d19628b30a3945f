import { type Adjuvant, canonicalName, type Dose } from "../../model/index.ts";
import type { Rule } from "../engine/definition.ts";
import { combine, found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import { judgeInjectedAnaesthetics } from "../facts/injected-drugs.ts";
import { publishedMixture } from "../facts/mixed-in-drugs.ts";

export const rule: Rule = {
  judge: ({ protocol }) =>
    judgeInjectedAnaesthetics(protocol, (dose) =>
      combine(dose.adjuvants.map((adjuvant) => judgeAdjuvant(dose, adjuvant))),
    ),
};

/** Opioids beside those of which trials are known, under the program's one spelling, see `canonicalName`. */
const OPIOIDS = new Set([
  "alfentanil",
  "buprenorphine",
  "diamorphine",
  "hydromorphone",
  "oxycodone",
  "remifentanil",
]);

const OPIOID_CODES = ["N02A", "N01AH"];

function judgeAdjuvant(dose: Dose, { agent, origin }: Adjuvant): Judgement {
  if (!agent) return undecided(`a drug that is mixed into \`${dose.name}\` is not known`, origin);
  const published = publishedMixture(agent);
  const code = agent.atc?.value.toUpperCase() ?? "";
  const isOpioid =
    OPIOIDS.has(canonicalName(agent.name)) || OPIOID_CODES.some((opioid) => code.startsWith(opioid));
  if (isOpioid || published?.found === "adds little") {
    return found({
      origin,
      what: `${agent.name} in \`${dose.name}\` adds little to the block, as far as trials tell.`,
      label: "adds little",
      next: "Leave it out, or accept it in the local rules, with what it is for.",
    });
  }
  return published
    ? HOLDS
    : undecided(`whether ${agent.name} adds anything to the block is not known to this rule`, origin);
}
