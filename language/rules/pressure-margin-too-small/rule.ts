import type { Repair } from "@limbwright/shared/finding";
import { type Rational, rational } from "@limbwright/shared/quantity";
import { usesOcclusionPressure } from "../../model/index.ts";
import { writeInstead } from "../../model/text-changes.ts";
import {
  type Box,
  compare,
  type Expression,
  type Relation,
  regionsText,
  type Witness,
} from "../../population/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { amountText, evidenceOf, judgePatients } from "../engine/evidence.ts";
import { combine, type Judgement, undecided } from "../engine/judgement.ts";
import { adultsOf, amongThose, childrenOf, type PatientGroup } from "../facts/age-groups.ts";
import { type CuffsWithPressure, judgeTargetPressure } from "../facts/target-pressure.ts";

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

function judgeOverSystolic({ pressure, origin }: CuffsWithPressure, context: RuleContext): Judgement {
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
