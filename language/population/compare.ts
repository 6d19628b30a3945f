import { contains, type Rational } from "@limbwright/shared/quantity";
import { type Cell, closure, splitCell } from "./cell.ts";
import { evaluate } from "./evaluate.ts";
import {
  type Box,
  type Expression,
  type Patient,
  VARIABLES,
  type Variable,
  variablesOf,
} from "./expression.ts";
import { type Extreme, findGreatest, type Measure } from "./extreme.ts";
import { decide, type Limits, type NotDecided, type Work } from "./limits.ts";
import { type Linear, negateForm, subtractForms, valueAt } from "./linear.ts";
import { domain, expand, type Piece } from "./pieces.ts";
import { type Region, regionsOf } from "./region.ts";
import { roundPatient } from "./round-number.ts";

/** left ≤ right, left < right, left ≥ right, left > right, left = right. */
export type Relation = "at-most" | "under" | "at-least" | "over" | "equal";

export interface ComparisonOptions extends Limits {
  /** What makes one violation worse than another; the excess itself when left out. */
  readonly measure?: Measure;
}

/**
 * Whether a relation holds for every patient who has both values. Of patients without a value it
 * says nothing; when nobody has both values the answer is *not decided*.
 */
export type Comparison = { readonly kind: "holds" } | Broken | NotDecided;

export interface Broken {
  readonly kind: "broken";
  /** All patients who violate the relation. */
  readonly regions: readonly Region[];
  readonly worst: Worst;
  /** A violating patient in round numbers, near the worst. */
  readonly clean: Witness;
}

/** A patient with every variable that the two sides mention, and the values there. */
export interface Witness {
  readonly patient: Patient;
  readonly left: Rational;
  readonly right: Rational;
  /** By how much the relation is violated, zero or more. */
  readonly excess: Rational;
}

/**
 * The greatest violation. `approached`: violating patients come as near as one likes to this one, who does
 * not count himself (an open edge); left, right and excess are the limits. `endless`: it grows without limit.
 */
export type Worst =
  | ({ readonly kind: "attained" } & Witness)
  | ({ readonly kind: "approached" } & Witness)
  | { readonly kind: "endless" };

/** Decides `left relation right` for every patient of the box, exactly. */
export function compare(
  left: Expression,
  relation: Relation,
  right: Expression,
  box: Box,
  options: ComparisonOptions = {},
): Comparison {
  return decide(options, (work) => {
    const measure = options.measure ?? "absolute";
    const variables = variablesCompared(left, right, measure);
    const covered = domain(box, variables);
    const { violations, kept, without } = judgeAll(left, relation, right, covered, work);
    if (violations.length + kept.length === 0) {
      return { kind: "not-decided", limit: "no patient has both values that are compared" };
    }
    const worst = findGreatest(violations, variables, measure) ?? findGreatest(violations, variables);
    if (!worst) return { kind: "holds" };
    const cells = violations.map(({ cell }) => cell);
    const regions = regionsOf(cells, [...kept, ...without], covered, work);
    return {
      kind: "broken",
      regions,
      worst: withValues(worst.extreme, worst.piece),
      clean: cleanWitness({ left, right, regions, covered, variables }, worst),
    };
  });
}

/** A piece of violating patients; its value is the excess. */
interface Violation extends Piece {
  readonly left: Linear;
  readonly right: Linear;
}

interface Judged {
  readonly violations: Violation[];
  readonly kept: Cell[];
  readonly without: Cell[];
}

function variablesCompared(left: Expression, right: Expression, measure: Measure): Variable[] {
  const found = variablesOf(left, right);
  return VARIABLES.filter(
    (variable) => found.includes(variable) || (variable === "weight" && measure === "per-weight"),
  );
}

function judgeAll(
  left: Expression,
  relation: Relation,
  right: Expression,
  covered: Cell,
  work: Work,
): Judged {
  const result: Judged = { violations: [], kept: [], without: [] };
  const cutting = { work, without: result.without };
  for (const first of expand(left, covered, cutting)) {
    for (const second of expand(right, first.cell, cutting)) {
      judgePiece(second.cell, relation, first.value, second.value, result);
    }
  }
  return result;
}

function judgePiece(cell: Cell, relation: Relation, left: Linear, right: Linear, result: Judged): void {
  const over = subtractForms(left, right);
  const under = negateForm(over);
  const violation = (at: Cell | undefined, value: Linear): void => {
    if (at) result.violations.push({ cell: at, value, left, right });
  };
  const keep = (at: Cell | undefined): void => {
    if (at) result.kept.push(at);
  };
  switch (relation) {
    case "at-most":
    case "at-least": {
      const excess = relation === "at-most" ? over : under;
      const { atLeast, below } = splitCell(cell, negateForm(excess));
      violation(below, excess);
      keep(atLeast);
      break;
    }
    case "under":
    case "over": {
      const excess = relation === "under" ? over : under;
      const { atLeast, below } = splitCell(cell, excess);
      violation(atLeast, excess);
      keep(below);
      break;
    }
    case "equal": {
      const { atLeast, below } = splitCell(cell, over);
      violation(below, under);
      const sides = atLeast && splitCell(atLeast, under);
      violation(sides?.below, over);
      keep(sides?.atLeast);
      break;
    }
  }
}

function withValues(extreme: Extreme, piece: Violation): Worst {
  if (extreme.kind === "endless") return extreme;
  return {
    kind: extreme.kind,
    ...witness(extreme.patient, valueAt(piece.left, extreme.patient), valueAt(piece.right, extreme.patient)),
  };
}

function witness(patient: Patient, left: Rational, right: Rational): Witness {
  return { patient, left, right, excess: left.sub(right).abs() };
}

interface Found {
  readonly left: Expression;
  readonly right: Expression;
  readonly regions: readonly Region[];
  readonly covered: Cell;
  readonly variables: readonly Variable[];
}

function cleanWitness(
  found: Found,
  worst: { readonly extreme: Extreme; readonly piece: Violation },
): Witness {
  const near = worst.extreme.kind === "endless" ? {} : worst.extreme.patient;
  const region = found.regions.find(({ ranges, exact }) => exact && borders(ranges, near));
  const cell = region ? { box: { ...found.covered.box, ...region.ranges }, slanted: [] } : worst.piece.cell;
  const patient = roundPatient(cell, found.variables, near);
  const left = evaluate(found.left, patient);
  const right = evaluate(found.right, patient);
  if (!left || !right) throw new Error("a violating patient has no value");
  return witness(patient, left, right);
}

/** Whether a patient lies in the ranges or on an open edge of them. */
function borders(ranges: Box, patient: Patient): boolean {
  const { box } = closure({ box: ranges, slanted: [] });
  return VARIABLES.every((variable) => {
    const given = patient[variable];
    return !given || contains(box[variable] ?? {}, given);
  });
}
