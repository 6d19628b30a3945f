import { rational } from "@limbwright/shared/quantity";
import type * as ast from "../grammar/generated/ast.ts";
import {
  KNOWN_CONDITIONS,
  type PatientCondition,
  type Patients,
  VARIABLE_DIMENSIONS,
  type WrittenRange,
} from "../model/index.ts";
import { canonicalName } from "../model/spelling.ts";
import type { Variable } from "../population/expression.ts";
import {
  checkWord,
  hasUnread,
  type Lowering,
  originOf,
  originOfHeading,
  originOfProperty,
  report,
  withGaps,
} from "./context.ts";
import { rangeOf } from "./ranges.ts";

export function patientsOf(lowering: Lowering, node: ast.Patients): Patients {
  const bounds: Partial<Record<Variable, WrittenRange>> = {};
  const conditions: PatientCondition[] = [];
  const unread = hasUnread(node.entries);
  const inBounds = withGaps(lowering, () => {
    for (const entry of node.entries) if (entry.$type === "PatientBound") addBound(lowering, entry, bounds);
  });
  const inConditions = withGaps(lowering, () => {
    for (const entry of node.entries) {
      if (entry.$type === "Condition") addCondition(lowering, entry, conditions);
    }
  });
  return {
    origin: originOfHeading(lowering, node),
    bounds,
    conditions,
    incomplete: unread || inBounds.gaps || inConditions.gaps,
    boundsIncomplete: unread || inBounds.gaps,
  };
}

function addBound(
  lowering: Lowering,
  node: ast.PatientBound,
  bounds: Partial<Record<Variable, WrittenRange>>,
): void {
  const earlier = bounds[node.variable];
  const range = rangeOf(lowering, node.range, VARIABLE_DIMENSIONS[node.variable], `\`${node.variable}\``);
  if (earlier) {
    report(lowering, {
      rule: "statement-twice",
      origin: originOf(lowering, node),
      what: `\`${node.variable}\` is said twice; only the first is read.`,
      label: "said a second time",
      next: "Remove one of the two.",
      related: [{ origin: earlier.origin, note: "first said here" }],
    });
    return;
  }
  if (!range) {
    lowering.gaps.count += 1;
    return;
  }
  const lowest = range.interval.lower?.value;
  if (lowest && lowest.compare(node.variable === "age" ? 0 : rational("0.1")) < 0) {
    report(lowering, {
      rule: "value-out-of-range",
      origin: range.origin,
      what: `No patient has a ${node.variable} of zero.`,
      label: "starts at zero",
      next: "Write the lowest value that the protocol covers.",
    });
    lowering.gaps.count += 1;
    return;
  }
  bounds[node.variable] = range;
}

function addCondition(lowering: Lowering, node: ast.Condition, conditions: PatientCondition[]): void {
  const read = conditionOf(lowering, node);
  const earlier =
    read.condition &&
    conditions.find((one) => one.condition === read.condition && one.decision !== read.decision);
  if (earlier) {
    report(lowering, {
      rule: "statement-twice",
      origin: read.origin,
      what: `\`${read.condition}\` is decided twice, as \`${earlier.decision}\` and as \`${read.decision}\`.`,
      label: "decided otherwise before",
      next: "Keep the one that is meant.",
      related: [{ origin: earlier.origin, note: "first decided here" }],
    });
  }
  conditions.push(read);
}

function conditionOf(lowering: Lowering, node: ast.Condition): PatientCondition {
  const condition =
    node.condition === undefined
      ? undefined
      : checkWord(
          lowering,
          originOfProperty(lowering, node, "condition"),
          canonicalName(node.condition),
          KNOWN_CONDITIONS,
          "a condition",
          "Write it as a text in quotes, without a name; it is then printed, but not judged.",
        );
  return {
    decision: node.kind,
    ...(condition && { condition }),
    ...(node.text !== undefined && { text: node.text }),
    ...(node.reason !== undefined && { because: node.reason }),
    origin: originOf(lowering, node),
  };
}
