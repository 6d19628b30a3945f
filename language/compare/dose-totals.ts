import { VOLUME, ZERO } from "@limbwright/shared/quantity";
import type { Dose, Protocol } from "../model/index.ts";
import {
  type Box,
  compare,
  type Expression,
  patientText,
  regionText,
  type Witness,
} from "../population/index.ts";
import { amountText } from "../rules/engine/evidence.ts";
import { type Measured, totalOf } from "../rules/facts/cumulative.ts";
import { mostGiven } from "../rules/facts/most-given.ts";
import type { AmountDifference } from "./amounts.ts";
import type { PatientsConcerned } from "./change.ts";
import { directionsFor } from "./dose-directions.ts";
import type { Sides } from "./side.ts";

/**
 * Where only one version has a `total up to`: whether the other gives more than that in all without it. Where no run of the other comes
 * to it nothing is otherwise; where it runs on without an end nothing bounds it.
 */
export function totalDifference(
  before: Dose,
  now: Dose,
  { before: old, now: recent, covered }: Sides,
): AmountDifference {
  const isGone = before.total !== undefined;
  const [bounded, free, protocol] = isGone ? [before, now, recent] : [now, before, old];
  const { total } = bounded;
  if (!total) return {};
  if (!covered.both) return { limit: "no patient is covered by both versions" };
  const isVolume = total.dimension.volume === VOLUME.volume;
  const cap: Cap = {
    of: total.expression,
    unit: isVolume ? "mL" : "mg",
    isGone,
    side: directionsFor(now, "")[isGone ? "moreIs" : "lessIs"],
    box: covered.both,
  };
  const givings = givenWithout(free, protocol, isVolume ? "volume" : "mass");
  const found = givings ? beyond(cap, givings) : unbounded(cap);
  if (!found || "limit" in found) return found ?? {};
  return isGone ? { more: found } : { less: found };
}

interface Cap {
  readonly of: Expression;
  readonly unit: string;
  readonly isGone: boolean;
  readonly side: PatientsConcerned["side"];
  readonly box: Box;
}

/** All that runs give of the drug of a dose, for each way in which they give most; undefined where it has no bound. */
function givenWithout(
  { agent }: Dose,
  protocol: Protocol,
  measured: Measured,
): readonly Expression[] | undefined {
  const most = mostGiven(protocol);
  if ("limit" in most || !agent) return undefined;
  const totals = most.map((counts) => totalOf(agent, counts, protocol.doses, measured));
  const known = totals.flatMap((one) => (one.kind === "total" ? [one.amount] : []));
  return known.length === totals.length ? known : undefined;
}

/** Undefined where nobody is given more than the bound. */
function beyond(
  cap: Cap,
  givings: readonly Expression[],
): PatientsConcerned | { readonly limit: string } | undefined {
  const answers = givings.map((given) => compare(given, "at-most", cap.of, cap.box));
  const broken = answers.find((one) => one.kind === "broken");
  if (broken?.kind === "broken") {
    const { regions, clean } = broken;
    return concerned(
      cap,
      clean.patient,
      amountText(clean.right, cap.unit),
      amountText(clean.left, cap.unit),
      {
        ranges: regions.map(regionText),
        exact: regions.every(({ exact }) => exact),
        everybody: regions.some(({ everybody }) => everybody),
      },
    );
  }
  const undecided = answers.find((one) => one.kind === "not-decided");
  return undecided?.kind === "not-decided" ? { limit: undecided.limit } : undefined;
}

/** Every patient is concerned; one is shown with the bound. */
function unbounded(cap: Cap): PatientsConcerned | { readonly limit: string } {
  const nothing: Expression = { kind: "constant", value: ZERO };
  const answer = compare(cap.of, "at-most", nothing, cap.box);
  if (answer.kind !== "broken") return { limit: "the most in all has no value for any patient" };
  const { patient, left } = answer.clean;
  return concerned(cap, patient, amountText(left, cap.unit), "no limit", {
    ranges: [],
    exact: true,
    everybody: true,
  });
}

function concerned(
  { isGone, side }: Cap,
  patient: Witness["patient"],
  bounded: string,
  free: string,
  whom: Pick<PatientsConcerned, "ranges" | "exact" | "everybody">,
): PatientsConcerned {
  const direction = isGone ? "no longer bounded" : "bounded now";
  const [before, now] = isGone ? [bounded, free] : [free, bounded];
  return {
    kind: "patients",
    direction,
    side,
    ...whom,
    example: { patient: patientText(patient) || "every patient", before, now, difference: direction },
  };
}
