import { type Interval, intersect, isEmpty, type Rational } from "@limbwright/shared/quantity";
import type { Box, Broken } from "../../population/index.ts";

/** Some of the patients of a box, with the ranges that single them out from the rest; none if all are. */
export interface PatientGroup {
  readonly box: Box;
  readonly singledOut: Box;
}

/** The children of a box, who are under the age (years); undefined when it covers none. */
export function childrenOf(box: Box, childAge: Rational): PatientGroup | undefined {
  return ofAges(box, { upper: { value: childAge, closed: false } }, childAge);
}

/** The adults of a box, who are of the age (years) or older; undefined when it covers none. */
export function adultsOf(box: Box, childAge: Rational): PatientGroup | undefined {
  return ofAges(box, { lower: { value: childAge, closed: true } }, childAge);
}

function ofAges(box: Box, ages: Interval, edge: Rational): PatientGroup | undefined {
  const covered = box.age ?? {};
  const age = intersect(covered, ages);
  if (isEmpty(age)) return undefined;
  const all = isAllOneSide(covered, edge);
  return { box: { ...box, age }, singledOut: all ? {} : { age } };
}

/** Whether a range of ages does not cross the edge between children and adults. */
function isAllOneSide(covered: Interval, edge: Rational): boolean {
  const children = intersect(covered, { upper: { value: edge, closed: false } });
  const adults = intersect(covered, { lower: { value: edge, closed: true } });
  return isEmpty(children) || isEmpty(adults);
}

/** A broken comparison over some of the patients, told with the ranges that single them out. */
export function amongThose(broken: Broken, singledOut: Box): Broken {
  if (Object.keys(singledOut).length === 0) return broken;
  const regions = broken.regions.map((region) => ({
    ...region,
    ranges: { ...singledOut, ...region.ranges },
    everybody: false,
  }));
  return { ...broken, regions };
}
