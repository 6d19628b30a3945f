import type { Repair } from "@limbwright/shared/finding";
import { fromBase, quantityText } from "@limbwright/shared/quantity";
import { usesOcclusionPressure } from "../../model/index.ts";
import { writeInstead } from "../../model/text-changes.ts";
import { compare, type Expression, regionsText } from "../../population/index.ts";
import {
  found,
  HOLDS,
  type Judgement,
  type Rule,
  type RuleContext,
  undecided,
} from "../engine/definition.ts";
import { evidenceOf } from "../engine/evidence.ts";
import type { ParameterValue } from "../engine/parameter.ts";
import { type CuffsWithPressure, judgeTargetPressure } from "../facts/target-pressure.ts";
import { judgeOverOcclusion } from "./over-occlusion.ts";
import { parameters } from "./parameters.ts";

export const rule: Rule = {
  id: "pressure-margin-too-small",
  title: "The target pressure is far enough over the systolic pressure, for every patient",
  group: "cuff",
  severity: "unsafe",
  why: "With too small a margin blood passes under the cuff, fills the limb again, and takes the drug with it when it leaves.",
  sources: [
    { source: "emergency-handbook", says: "systolic + 100, never over 300 mmHg" },
    { source: "anaesthesia-handbook", says: "systolic + 50 to 100 mmHg, either cuff" },
    { source: "emergency-reference", says: "systolic + 50 to 100 mmHg" },
    { source: "miller-block", says: "arm: systolic + about 150 mmHg" },
    { source: "miller-children", says: "children: 2 to 3 times the systolic pressure" },
    {
      source: "ropivacaine-comparison",
      says: "250 mmHg for everybody: too small a margin over 150 mmHg by the standard of this rule",
    },
    {
      source: "boast-2021-audit",
      says: "arm: systolic + 50 to 100 mmHg; 36 % of the audited cases complied, all others were too high",
    },
    {
      source: "kerr-mcewen",
      says: "a rule by systolic would let blood through in 41 %, a formula by padding in 62 %, a fixed pressure in none, at 121 mmHg over the occlusion pressure on average",
    },
    {
      source: "aorn-taught",
      says: "limb occlusion pressure + 40 when under 130, + 60 when 131 to 190, + 80 when over 190 mmHg; children + 50",
    },
    { source: "french-review", says: "limb occlusion pressure + 50 mmHg" },
    {
      source: "tuncali-2006",
      says: "occlusion pressure = (systolic + 10) / a coefficient of tissue padding; the table of coefficients was not found",
    },
    {
      source: "tuncali-2018",
      says: "knee surgery, 93 patients: 182.4 ± 14.6 mmHg by the formula, 200.7 ± 15.6 mmHg by the measured occlusion pressure",
    },
    { source: "arm-occlusion-pressure", says: "152.3 ± 16.7 mmHg" },
    {
      source: "guay-2009",
      says: "toxicity with the cuff up happened at more than 150 mmHg over systolic: pressure alone is no proof that the limb is closed off",
    },
  ],
  parameters,
  judge: (context) =>
    judgeTargetPressure(context, (cuffs) =>
      usesOcclusionPressure(cuffs.pressure.node)
        ? judgeOverOcclusion(cuffs, context)
        : judgeOverSystolic(cuffs, context),
    ),
};

function judgeOverSystolic({ pressure, origin }: CuffsWithPressure, context: RuleContext): Judgement {
  const margin = context.parameter("margin");
  const needed: Expression = {
    kind: "sum",
    left: { kind: "variable", variable: "systolic" },
    right: { kind: "constant", value: margin.value },
  };
  const answer = compare(pressure.expression, "at-least", needed, context.box, {
    cancelled: context.isCancelled,
  });
  if (answer.kind === "holds") return HOLDS;
  if (answer.kind === "not-decided") return undecided(answer.limit, origin);
  const marginText = quantityText(fromBase(margin.value, "mmHg"));
  return found({
    origin: pressure.origin,
    what: `The target pressure is less than systolic + ${marginText}${setBy(margin)}: ${regionsText(answer.regions)}.`,
    label: `less than systolic + ${marginText}`,
    next: `Raise it, such as to \`systolic + ${marginText}\`, or cover fewer patients: lower the highest \`systolic\` of \`patients\`.`,
    repairs: wideMargin(pressure, marginText),
    patients: evidenceOf(answer, ({ left, excess }) => shortText(left, excess)),
  });
}

/** Only where a pressure is `systolic` and a margin, as it mostly is: the margin then is the one thing to change. */
function wideMargin({ node }: CuffsWithPressure["pressure"], marginText: string): Repair[] {
  const isMargin = node.kind === "sum" && node.left.kind === "variable" && node.left.variable === "systolic";
  return isMargin ? writeInstead(node.right.origin, marginText) : [];
}

function setBy({ isLocal, from }: ParameterValue): string {
  return isLocal ? ` (${from})` : "";
}

/** "250 mmHg, 30 mmHg short". */
function shortText(target: ParameterValue["value"], short: ParameterValue["value"]): string {
  return `${quantityText(fromBase(target, "mmHg"))}, ${quantityText(fromBase(short, "mmHg"))} short`;
}
