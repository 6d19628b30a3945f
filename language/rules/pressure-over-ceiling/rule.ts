import { amountText, inBase, lesser, quantityText, type Rational } from "@limbwright/shared/quantity";
import { type CuffPlace, type CuffSet, usesOcclusionPressure } from "../../model/index.ts";
import { lineInside, needsALook, writeInstead } from "../../model/text-changes.ts";
import { regionsText, regionText } from "../../population/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { absoluteText, evidenceOf, judgePatients } from "../engine/evidence.ts";
import { combine, found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import { childrenOf } from "../facts/age-groups.ts";
import { placeOf, upToParameter } from "../facts/raised-parameter.ts";
import { type CuffsWithPressure, judgeTargetPressure } from "../facts/target-pressure.ts";
import { STATED } from "../generated/stated.ts";

export const rule: Rule = {
  judge: (context) =>
    combine([
      judgeCeiling(context),
      judgeTargetPressure(context, (cuffs) =>
        combine([judgeTarget(cuffs, context), judgeChildren(cuffs, context)]),
      ),
    ]),
  upTo: upToParameter({
    rule: STATED["pressure-over-ceiling"],
    parameter: ({ cuffs }) => cuffs?.place && PARAMETERS[cuffs.place.value],
  }),
};

const PARAMETERS: Readonly<Record<CuffPlace, string>> = {
  "upper-arm": "arm-and-calf",
  forearm: "arm-and-calf",
  calf: "arm-and-calf",
  thigh: "thigh-and-ankle",
  ankle: "thigh-and-ankle",
};

/** The published ceiling for the place of the cuffs; undefined where the place is not known. */
function ceilingFor({ place }: CuffSet, { parameter }: Pick<RuleContext, "parameter">): Rational | undefined {
  return place && parameter(PARAMETERS[place.value]).value;
}

/** The lower of the two ceilings, the published and the protocol's own. */
export function lowerCeiling(cuffs: CuffSet, context: Pick<RuleContext, "parameter">): Rational | undefined {
  const published = ceilingFor(cuffs, context);
  const own = cuffs.ceiling && inBase(cuffs.ceiling);
  return own && published ? lesser(own, published) : (own ?? published);
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
  const most = amountText(published, "mmHg");
  return found({
    origin: cuffs.ceiling.origin,
    what: `The ceiling, ${quantityText(cuffs.ceiling)}, is over ${most} for the ${cuffs.place?.value}.`,
    label: `over ${most}`,
    ...named(context),
    next: `Lower it to ${most} or less.`,
    repairs: writeInstead(cuffs.ceiling.origin, most),
  });
}

/** What is over a pressure is accepted up to one, by the place of the cuffs. */
function named({ protocol }: Pick<RuleContext, "protocol">) {
  const subject = placeOf(protocol);
  return { ...(subject !== undefined && { subject }), limitUnit: "mmHg" };
}

function noCeiling({ origin, pressure }: CuffSet, published: Rational): Judgement {
  const line = `ceiling ${amountText(published, "mmHg")}`;
  return found({
    origin,
    severity: "doubtful",
    what: "The cuffs have no ceiling: nothing says at which pressure the team stops.",
    label: "no ceiling",
    next: `Add \`${line}\`, or a lower one.`,
    repairs: pressure ? needsALook(`Write ${line}`, lineInside(origin, pressure.origin, line)) : [],
  });
}

/** The target pressure against the lower of the two ceilings. */
function judgeTarget(cuffs: CuffsWithPressure, context: RuleContext): Judgement {
  const ceiling = lowerCeiling(cuffs, context);
  const own = cuffs.ceiling && inBase(cuffs.ceiling);
  if (!ceiling) return HOLDS;
  const text = amountText(ceiling, "mmHg");
  return judgePatients(
    context,
    { amount: cuffs.pressure.expression, is: "at-most", limit: ceiling, origin: cuffs.origin },
    (broken) => ({
      origin: cuffs.pressure.origin,
      what: `The target pressure goes over ${text}: ${regionsText(broken.regions)}.`,
      label: `over ${text}`,
      ...named(context),
      next: `Cover fewer patients (lower the highest \`systolic\` of \`patients\`), or lower the pressure: \`up to ${text}\` ends it there, and the margin is then judged.`,
      ...(own?.equals(ceiling) &&
        cuffs.ceiling && { related: [{ origin: cuffs.ceiling.origin, note: "the ceiling" }] }),
      patients: evidenceOf(broken, (witness) => absoluteText(witness, "mmHg")),
    }),
  );
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
