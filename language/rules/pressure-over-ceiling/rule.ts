import type { Origin, Repair } from "@limbwright/shared/finding";
import { inBase, lesser, quantityText, type Rational } from "@limbwright/shared/quantity";
import { type CuffPlace, type CuffSet, usesOcclusionPressure } from "../../model/index.ts";
import { lineInside, needsALook, writeInstead } from "../../model/text-changes.ts";
import { compare, type Expression, regionsText, regionText } from "../../population/index.ts";
import {
  combine,
  found,
  HOLDS,
  type Judgement,
  type Rule,
  type RuleContext,
  undecided,
} from "../engine/definition.ts";
import { absoluteText, amountText, evidenceOf } from "../engine/evidence.ts";
import { childrenOf } from "../facts/age-groups.ts";
import { type CuffsWithPressure, judgeTargetPressure } from "../facts/target-pressure.ts";

export const rule: Rule = {
  id: "pressure-over-ceiling",
  title: "The target pressure stays under a ceiling, for every patient",
  group: "cuff",
  severity: "unsafe",
  why: "Nerves and muscle under the cuff are harmed by pressure; the published ceilings are for adults.",
  sources: [
    { source: "emergency-handbook", says: "arm: systolic + 100, never over 300 mmHg" },
    {
      source: "perioperative-course",
      says: "at most 250 to 300 mmHg on an arm or lower leg, 300 to 350 mmHg on a thigh: the standard takes the upper ends",
    },
    { source: "schurg-1990", says: "foot surgery, about 500 patients: ankle cuff at 350 mmHg" },
    { source: "below-the-knee", says: "300 mmHg" },
    { source: "ropivacaine-comparison", says: "250 mmHg for everybody" },
    {
      source: "tredwell",
      says: "measured occlusion pressure + 50: arm 173.4 ± 11.6 (155 to 190), leg 176.7 ± 28.7 (140 to 250) mmHg",
    },
    {
      source: "miller-children",
      says: "children: 2 to 3 times the systolic pressure, which is not measured: the rule reports it as doubtful",
    },
    {
      source: "common-practice",
      says: "children judged by adult values under 16 years: the age is a parameter, `child-age`",
    },
  ],
  parameters: [
    {
      name: "arm-and-calf",
      title: "Highest pressure on the upper arm, forearm or calf",
      unit: "mmHg",
      standard: "300",
      tighter: "lower",
      bound: "300",
      source: "perioperative-course",
    },
    {
      name: "thigh-and-ankle",
      title: "Highest pressure on the thigh or ankle",
      unit: "mmHg",
      standard: "350",
      tighter: "lower",
      bound: "350",
      source: "perioperative-course",
    },
  ],
  judge: (context) =>
    combine([
      judgeCeiling(context),
      judgeTargetPressure(context, (cuffs) =>
        combine([judgeTarget(cuffs, context), judgeChildren(cuffs, context)]),
      ),
    ]),
};

const PARAMETERS: Readonly<Record<CuffPlace, string>> = {
  "upper-arm": "arm-and-calf",
  forearm: "arm-and-calf",
  calf: "arm-and-calf",
  thigh: "thigh-and-ankle",
  ankle: "thigh-and-ankle",
};

/** The published ceiling for the place of the cuffs; undefined where the place is not known. */
function ceilingFor(cuffs: CuffSet, context: RuleContext): Rational | undefined {
  return cuffs.place && context.parameter(PARAMETERS[cuffs.place.value]).value;
}

/** The protocol's own ceiling: there has to be one, and not over the published one. */
function judgeCeiling(context: RuleContext): Judgement {
  const { cuffs, incomplete } = context.protocol;
  if (!cuffs) return undecided("the cuffs were not understood");
  const published = ceilingFor(cuffs, context);
  if (!published) return undecided("the place of the cuffs is not known", cuffs.origin);
  if (!cuffs.ceiling) {
    return incomplete
      ? undecided("a ceiling may stand in text that was not understood", cuffs.origin)
      : noCeiling(cuffs, published);
  }
  if (inBase(cuffs.ceiling).compare(published) <= 0) return HOLDS;
  return found({
    origin: cuffs.ceiling.origin,
    what: `The ceiling, ${quantityText(cuffs.ceiling)}, is over ${amountText(published, "mmHg")} for the ${cuffs.place?.value}.`,
    label: `over ${amountText(published, "mmHg")}`,
    next: `Lower it to ${amountText(published, "mmHg")} or less.`,
    repairs: writeInstead(cuffs.ceiling.origin, amountText(published, "mmHg")),
  });
}

function noCeiling(cuffs: CuffSet, published: Rational): Judgement {
  return found({
    origin: cuffs.origin,
    severity: "doubtful",
    what: "The cuffs have no ceiling: nothing says at which pressure the team stops.",
    label: "no ceiling",
    next: `Add \`ceiling ${amountText(published, "mmHg")}\`, or a lower one.`,
    repairs: cuffs.pressure
      ? withCeiling(cuffs.origin, cuffs.pressure.origin, amountText(published, "mmHg"))
      : [],
  });
}

function withCeiling(cuffs: Origin, pressure: Origin, ceiling: string): Repair[] {
  return needsALook(`Write ceiling ${ceiling}`, lineInside(cuffs, pressure, `ceiling ${ceiling}`));
}

/** The target pressure against the lower of the two ceilings. */
function judgeTarget(cuffs: CuffsWithPressure, context: RuleContext): Judgement {
  const published = ceilingFor(cuffs, context);
  const own = cuffs.ceiling && inBase(cuffs.ceiling);
  const ceiling = own && published ? lesser(own, published) : (own ?? published);
  if (!ceiling) return HOLDS;
  const limit: Expression = { kind: "constant", value: ceiling };
  const answer = compare(cuffs.pressure.expression, "at-most", limit, context.box, {
    cancelled: context.isCancelled,
  });
  if (answer.kind === "holds") return HOLDS;
  if (answer.kind === "not-decided") return undecided(answer.limit, cuffs.origin);
  const text = amountText(ceiling, "mmHg");
  return found({
    origin: cuffs.pressure.origin,
    what: `The target pressure goes over ${text}: ${regionsText(answer.regions)}.`,
    label: `over ${text}`,
    next: `Cover fewer patients (lower the highest \`systolic\` of \`patients\`), or lower the pressure: \`up to ${text}\` ends it there, and the margin is then judged.`,
    ...(own?.equals(ceiling) &&
      cuffs.ceiling && { related: [{ origin: cuffs.ceiling.origin, note: "the ceiling" }] }),
    patients: evidenceOf(answer, (witness) => absoluteText(witness, "mmHg")),
  });
}

/** The ceilings are for adults. A child's pressure has to come from occlusion pressures that were measured. */
function judgeChildren({ pressure }: CuffsWithPressure, context: RuleContext): Judgement {
  const childAge = context.parameter("child-age").value;
  const children = childrenOf(context.box, childAge);
  if (!children || usesOcclusionPressure(pressure.node)) return HOLDS;
  const everybody = Object.keys(children.singledOut).length === 0;
  const whom = regionText({ ranges: { age: children.box.age ?? {} }, exact: true, everybody });
  return found({
    origin: pressure.origin,
    severity: "doubtful",
    what: `Children are covered (${whom}), and their target pressure is not built on measured occlusion pressures.`,
    label: "not measured, for children",
    why: "A child's limb is occluded by much less than an adult's, and no ceiling is published for it.",
    next: `Add the hospital's table, \`occlusion by circumference { … }\`, and write \`pressure occlusion-pressure + 50 mmHg\`; or cover patients of ${amountText(childAge, "years")} and over.`,
    patients: { ranges: [whom], exact: true, everybody },
  });
}
