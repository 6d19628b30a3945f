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

export const rule: Rule = {
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
