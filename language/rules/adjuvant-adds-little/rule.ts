import { type Adjuvant, canonicalName, type Dose } from "../../model/index.ts";
import type { Rule } from "../engine/definition.ts";
import { combine, found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import { judgeInjectedAnaesthetics } from "../facts/injected-drugs.ts";

export const rule: Rule = {
  judge: ({ protocol }) =>
    judgeInjectedAnaesthetics(protocol, (dose) =>
      combine(dose.adjuvants.map((adjuvant) => judgeAdjuvant(dose, adjuvant))),
    ),
};

/** Under the program's one spelling, see `canonicalName`. */
const OPIOIDS = new Set([
  "alfentanil",
  "buprenorphine",
  "diamorphine",
  "fentanyl",
  "hydromorphone",
  "meperidine",
  "morphine",
  "nalbuphine",
  "oxycodone",
  "pethidine",
  "remifentanil",
  "sufentanil",
  "tramadol",
]);

const OPIOID_CODES = ["N02A", "N01AH"];

/** Those that the reviews found to help: anti-inflammatory drugs, clonidine and its like, muscle relaxants. */
const HELPFUL = new Set([
  "acetylsalicylate",
  "atracurium",
  "clonidine",
  "dexmedetomidine",
  "ketorolac",
  "lysine-acetylsalicylate",
  "mivacurium",
  "pancuronium",
  "tenoxicam",
]);

function judgeAdjuvant(dose: Dose, { agent, origin }: Adjuvant): Judgement {
  if (!agent) return undecided(`a drug that is mixed into \`${dose.name}\` is not known`, origin);
  const name = canonicalName(agent.name);
  const code = agent.atc?.value.toUpperCase() ?? "";
  if (OPIOIDS.has(name) || OPIOID_CODES.some((opioid) => code.startsWith(opioid))) {
    return found({
      origin,
      what: `${agent.name} in \`${dose.name}\` is an opioid: behind a cuff it adds little to the block.`,
      label: "adds little",
      next: "Leave it out, or say in the local rules what it is for.",
    });
  }
  return HELPFUL.has(name)
    ? HOLDS
    : undecided(`whether ${agent.name} adds anything to the block is not known to this rule`, origin);
}
