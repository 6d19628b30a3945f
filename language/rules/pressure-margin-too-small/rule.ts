import type { Repair } from "@limbwright/shared/finding";
import { usesOcclusionPressure } from "../../model/index.ts";
import { writeInstead } from "../../model/text-changes.ts";
import { type Expression, regionsText } from "../../population/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { amountText, evidenceOf, judgePatients } from "../engine/evidence.ts";
import type { Judgement } from "../engine/judgement.ts";
import { type CuffsWithPressure, judgeTargetPressure } from "../facts/target-pressure.ts";
import { judgeOverOcclusion, shortText } from "./over-occlusion.ts";

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
  const marginText = amountText(margin.value, "mmHg");
  const setBy = margin.isLocal ? ` (${margin.from})` : "";
  return judgePatients(
    context,
    { amount: pressure.expression, is: "at-least", limit: needed, origin },
    (broken) => ({
      origin: pressure.origin,
      what: `The target pressure is less than systolic + ${marginText}${setBy}: ${regionsText(broken.regions)}.`,
      label: `less than systolic + ${marginText}`,
      next: `Raise it, such as to \`systolic + ${marginText}\`, or cover fewer patients: lower the highest \`systolic\` of \`patients\`.`,
      repairs: wideMargin(pressure, marginText),
      patients: evidenceOf(broken, shortText),
    }),
  );
}

/** Only where a pressure is `systolic` and a margin, as it mostly is: the margin then is the one thing to change. */
function wideMargin({ node }: CuffsWithPressure["pressure"], marginText: string): Repair[] {
  const isMargin = node.kind === "sum" && node.left.kind === "variable" && node.left.variable === "systolic";
  return isMargin ? writeInstead(node.right.origin, marginText) : [];
}
