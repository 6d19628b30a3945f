import { type Interval, intersect, isEmpty } from "@limbwright/shared/quantity";
import { type Box, VARIABLES, type Variable } from "./expression.ts";
import { byLowerEdge, hull, intervalKey, isWithin, meets } from "./interval-order.ts";

/** Joins ranges that are alike in all variables but one, in which they touch, until none are left. */
export function mergeNeighbours(boxes: readonly Box[]): Box[] {
  let current = [...boxes];
  let before: number;
  do {
    before = current.length;
    for (const variable of VARIABLES) current = mergeAlong(current, variable);
  } while (current.length < before);
  return current;
}

function mergeAlong(boxes: readonly Box[], variable: Variable): Box[] {
  const groups = new Map<string, Box[]>();
  for (const box of boxes) {
    const key = keyWithout(box, variable);
    const group = groups.get(key);
    if (group) group.push(box);
    else groups.set(key, [box]);
  }
  return [...groups.values()].flatMap((group) => mergeInLine(group, variable));
}

function mergeInLine(boxes: Box[], variable: Variable): Box[] {
  boxes.sort((a, b) => byLowerEdge(a[variable] ?? {}, b[variable] ?? {}));
  const merged: Box[] = [];
  for (const box of boxes) {
    const last = merged.at(-1);
    const range = box[variable] ?? {};
    const lastRange = last?.[variable] ?? {};
    if (last && meets(lastRange, range)) {
      merged[merged.length - 1] = { ...last, [variable]: hull(lastRange, range) };
    } else merged.push(box);
  }
  return merged;
}

/** Boxes that hang together, and the smallest box around them. */
export interface Group {
  readonly hull: Box;
  readonly boxes: readonly Box[];
}

/** Sorts boxes into groups whose hulls touch no other. */
export function touchingGroups(boxes: readonly Box[]): Group[] {
  const groups: Group[] = [];
  for (const box of boxes) {
    let joined: Group = { hull: box, boxes: [box] };
    let at = groups.findIndex(({ hull }) => touches(hull, box));
    while (at >= 0) {
      const [other] = groups.splice(at, 1);
      if (other)
        joined = { hull: joinBoxes(other.hull, joined.hull), boxes: [...other.boxes, ...joined.boxes] };
      at = groups.findIndex((group) => touches(group.hull, joined.hull));
    }
    groups.push(joined);
  }
  return groups;
}

/** Whether two boxes have a patient in common. */
export function overlap(a: Box, b: Box): boolean {
  return VARIABLES.every((variable) => {
    const [first, second] = [a[variable], b[variable]];
    return !first || !second || !isEmpty(intersect(first, second));
  });
}

function touches(a: Box, b: Box): boolean {
  return VARIABLES.every((variable) => {
    const [first, second] = [a[variable] ?? {}, b[variable] ?? {}];
    return byLowerEdge(first, second) <= 0 ? meets(first, second) : meets(second, first);
  });
}

function joinBoxes(a: Box, b: Box): Box {
  return limitedBox((variable) => hull(a[variable] ?? {}, b[variable] ?? {}));
}

/** A box of the ranges of each variable; one without limits is left out. */
export function limitedBox(rangeOf: (variable: Variable) => Interval | undefined): Box {
  const box: Partial<Record<Variable, Interval>> = {};
  for (const variable of VARIABLES) {
    const range = rangeOf(variable);
    if (range?.lower || range?.upper) box[variable] = range;
  }
  return box;
}

/** The boxes that lie in no other one. */
export function withoutContained(boxes: readonly Box[]): Box[] {
  return boxes.filter(
    (box) =>
      !boxes.some((other) => other !== box && VARIABLES.every((v) => isWithin(box[v] ?? {}, other[v] ?? {}))),
  );
}

function keyWithout(box: Box, left: Variable): string {
  return VARIABLES.map((variable) => (variable === left ? "" : intervalKey(box[variable] ?? {}))).join("|");
}
