import type { Repair } from "@limbwright/shared/finding";
import { amountText, quantityText, type Rational, rational } from "@limbwright/shared/quantity";
import { type AmountNode, usesOcclusionPressure } from "../../model/index.ts";
import { needsALook } from "../../model/text-changes.ts";
import {
  type Box,
  compare,
  type Expression,
  type Relation,
  regionsText,
  type Witness,
} from "../../population/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { evidenceOf, judgePatients } from "../engine/evidence.ts";
import { combine, type Judgement, undecided } from "../engine/judgement.ts";
import { parametersFor } from "../engine/parameters.ts";
import { adultsOf, amongThose, childrenOf, type PatientGroup } from "../facts/age-groups.ts";
import { type CuffsWithPressure, judgeTargetPressure } from "../facts/target-pressure.ts";
import { STATED } from "../generated/stated.ts";
import { lowerCeiling } from "../pressure-over-ceiling/rule.ts";

export const rule: Rule = {
  judge: (context) =>
    judgeTargetPressure(context, (cuffs) =>
      usesOcclusionPressure(cuffs.pressure.node)
        ? combine([judgeOverOcclusion(cuffs, context), judgeTableOverSystolic(cuffs, context)])
        : judgeOverSystolic(cuffs, context),
    ),
};

const SYSTOLIC: Expression = { kind: "variable", variable: "systolic" };

/**
 * A table by the size of the limb knows nothing of the blood pressure: its target is held against the systolic pressure as well. At it or
 * under it no cuff shuts the artery, whatever the table says; hardly over it, somebody has to say why that is enough.
 */
function judgeTableOverSystolic({ pressure, origin }: CuffsWithPressure, context: RuleContext): Judgement {
  const asked = { amount: pressure.expression, origin };
  const under = judgePatients(context, { ...asked, is: "over", limit: SYSTOLIC }, (broken) => ({
    origin: pressure.origin,
    what: `The target pressure by the table is not over the systolic pressure: ${regionsText(broken.regions)}.`,
    label: "not over the systolic pressure",
    next: FOR_TABLES,
    patients: evidenceOf(broken, shortText),
  }));
  if (under.found.length > 0 || under.undecided.length > 0) return under;
  const margin = context.parameter("margin-of-table-over-systolic");
  const marginText = amountText(margin.value, "mmHg");
  return judgePatients(
    context,
    { ...asked, is: "at-least", limit: overSystolic(margin.value) },
    (broken) => ({
      origin: pressure.origin,
      severity: "doubtful",
      what: `The target pressure by the table is less than systolic + ${marginText}: ${regionsText(broken.regions)}.`,
      label: `hardly over the systolic pressure`,
      next: FOR_TABLES,
      patients: evidenceOf(broken, shortText),
    }),
  );
}

const FOR_TABLES =
  "Let the table go by the systolic pressure too, such as `systolic + 50 mmHg` for a size, or cover fewer patients: lower the highest `systolic` of `patients`.";

function overSystolic(margin: Rational): Expression {
  return { kind: "sum", left: SYSTOLIC, right: { kind: "constant", value: margin } };
}

function judgeOverSystolic(cuffs: CuffsWithPressure, context: RuleContext): Judgement {
  const { pressure, origin } = cuffs;
  const margin = context.parameter("margin");
  const needed = overSystolic(margin.value);
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
      repairs: wideMargin({ cuffs, over: SYSTOLIC, margin: margin.value }, context),
      patients: evidenceOf(broken, shortText),
    }),
  );
}

/** A margin over the systolic pressure, or over the occlusion pressure of the table. */
interface Wanted {
  readonly cuffs: CuffsWithPressure;
  readonly over: Expression;
  readonly margin: Rational;
}

/**
 * The margin alone is changed, where there is one; a pressure that is the same for everybody stays as the least. Nothing where some
 * patient's pressure would then pass a ceiling: whom the protocol covers is for its author to say.
 */
function wideMargin({ cuffs, over, margin }: Wanted, { protocol, box, isCancelled }: RuleContext): Repair[] {
  const ceiling = lowerCeiling(cuffs, {
    parameter: parametersFor(STATED["pressure-over-ceiling"], protocol.localRules),
  });
  const wide: Expression = { kind: "sum", left: over, right: { kind: "constant", value: margin } };
  const limit = ceiling && ({ kind: "constant", value: ceiling } as const);
  if (limit && compare(wide, "at-most", limit, box, { cancelled: isCancelled }).kind !== "holds") return [];
  const { node } = cuffs.pressure;
  const marginText = amountText(margin, "mmHg");
  const isSystolic = over === SYSTOLIC;
  const written = marginIn(node, isSystolic);
  if (written) {
    return needsALook(`Raise the margin to ${marginText}`, { origin: written.origin, text: marginText });
  }
  if (node.kind !== "quantity" || !isSystolic) return [];
  const { file, start } = node.origin;
  const words = `greater of systolic + ${marginText} and `;
  return needsALook(`Write ${words}${quantityText(node.quantity)}`, {
    origin: { file, start, end: start },
    text: words,
  });
}

/** The number that stands behind `systolic +` or `occlusion-pressure +`, also where the greater of that and another pressure is taken. */
function marginIn(node: AmountNode, isSystolic: boolean): AmountNode | undefined {
  if (node.kind === "greater") return marginIn(node.left, isSystolic) ?? marginIn(node.right, isSystolic);
  if (node.kind !== "sum" || node.right.kind !== "quantity") return undefined;
  const { left, right } = node;
  const isOver = isSystolic
    ? left.kind === "variable" && left.variable === "systolic"
    : left.kind === "occlusion-pressure";
  return isOver ? right : undefined;
}

/**
 * Occlusion pressures that go with one margin, as the relations (to a pressure in mmHg) that shut the
 * others out. The published wording, "under 130", "131 to 190", "over 190", leaves open what lies between
 * 130 and 131: the larger margin is taken there.
 */
interface Step {
  readonly margin: string;
  readonly whose: string;
  readonly shutOut: readonly (readonly [Relation, string])[];
}

const ADULT_STEPS: readonly Step[] = [
  {
    margin: "margin-over-low-occlusion",
    whose: "an occlusion pressure under 130 mmHg",
    shutOut: [["at-least", "130"]],
  },
  {
    margin: "margin-over-middle-occlusion",
    whose: "an occlusion pressure of 130 to 190 mmHg",
    shutOut: [
      ["under", "130"],
      ["over", "190"],
    ],
  },
  {
    margin: "margin-over-high-occlusion",
    whose: "an occlusion pressure over 190 mmHg",
    shutOut: [["at-most", "190"]],
  },
];

const CHILD_STEP: Step = {
  margin: "margin-over-occlusion-child",
  whose: "a child's occlusion pressure",
  shutOut: [],
};

/** Judges a pressure that is built on the hospital's table of occlusion pressures. */
function judgeOverOcclusion(cuffs: CuffsWithPressure, context: RuleContext): Judgement {
  const occlusion = cuffs.occlusion?.expression;
  if (!occlusion) return undecided("the table of occlusion pressures was not understood", cuffs.origin);
  const childAge = context.parameter("child-age").value;
  const adults = adultsOf(context.box, childAge);
  const children = childrenOf(context.box, childAge);
  const judge = (group: PatientGroup | undefined, steps: readonly Step[]) =>
    group ? steps.map((step) => judgeStep(step, { cuffs, occlusion, group, context })) : [];
  return combine([...judge(adults, ADULT_STEPS), ...judge(children, [CHILD_STEP])]);
}

interface Question {
  readonly cuffs: CuffsWithPressure;
  readonly occlusion: Expression;
  readonly group: PatientGroup;
  readonly context: RuleContext;
}

function judgeStep(step: Step, question: Question): Judgement {
  const { cuffs, occlusion, context } = question;
  const chosen = patientsIn(step, question);
  if (!Array.isArray(chosen)) return chosen;
  const margin = context.parameter(step.margin).value;
  const needed: Expression = {
    kind: "sum",
    left: occlusion,
    right: { kind: "constant", value: margin },
  };
  const marginText = amountText(margin, "mmHg");
  const { origin, pressure } = cuffs;
  return combine(
    chosen.map(({ box, singledOut }) =>
      judgePatients(
        context,
        { amount: pressure.expression, is: "at-least", limit: needed, box, origin },
        (answer) => {
          const broken = amongThose(answer, singledOut);
          return {
            origin: pressure.origin,
            what: `The target pressure is less than ${step.whose} + ${marginText}: ${regionsText(broken.regions)}.`,
            label: `less than occlusion pressure + ${marginText}`,
            next: `Raise it to at least \`occlusion-pressure + ${marginText}\` for these patients.`,
            repairs: wideMargin({ cuffs, over: occlusion, margin }, context),
            patients: evidenceOf(broken, shortText),
          };
        },
      ),
    ),
  );
}

/** The patients whose occlusion pressure is in the step, as boxes; what cannot be told apart is not decided. */
function patientsIn(step: Step, { cuffs, occlusion, group, context }: Question): PatientGroup[] | Judgement {
  let chosen: readonly PatientGroup[] = [group];
  for (const [relation, pressure] of step.shutOut) {
    const limit: Expression = { kind: "constant", value: rational(pressure) };
    const kept: PatientGroup[] = [];
    for (const { box, singledOut } of chosen) {
      const answer = compare(occlusion, relation, limit, box, { cancelled: context.isCancelled });
      if (answer.kind === "not-decided") return undecided(answer.limit, cuffs.origin);
      if (answer.kind === "holds") continue;
      if (answer.regions.some(({ exact }) => !exact)) {
        return undecided("the occlusion pressures are not told by ranges of the patients", cuffs.origin);
      }
      kept.push(...answer.regions.map(({ ranges }) => narrow(box, singledOut, ranges)));
    }
    chosen = kept;
  }
  return [...chosen];
}

function narrow(box: Box, singledOut: Box, ranges: Box): PatientGroup {
  return { box: { ...box, ...ranges }, singledOut: { ...singledOut, ...ranges } };
}

/** "250 mmHg, 30 mmHg short". */
function shortText({ left, excess }: Witness): string {
  return `${amountText(left, "mmHg")}, ${amountText(excess, "mmHg")} short`;
}
