import { rational } from "@limbwright/shared/quantity";
import type * as ast from "../grammar/generated/ast.ts";
import { nodesOfType } from "../grammar/nodes.ts";
import {
  KNOWN_CONDITIONS,
  type PatientCondition,
  type Patients,
  VARIABLE_DIMENSIONS,
  type WrittenRange,
} from "../model/index.ts";
import { canonicalName } from "../model/spelling.ts";
import type { Variable } from "../population/expression.ts";
import { hasUnread, type Lowering } from "./context.ts";
import { rangeOf } from "./quantities.ts";

export function patientsOf(lowering: Lowering, node: ast.Patients): Patients {
  const bounds: Partial<Record<Variable, WrittenRange>> = {};
  const conditions: PatientCondition[] = [];
  const unread = hasUnread(node.entries);
  const inBounds = lowering.withGaps(() => {
    for (const one of nodesOfType(node.entries, "PatientBound")) addBound(lowering, one, bounds);
  });
  const inConditions = lowering.withGaps(() => {
    for (const one of nodesOfType(node.entries, "Condition")) addCondition(lowering, one, conditions);
  });
  return {
    origin: lowering.originOfHeading(node),
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
    lowering.reportTwice(`\`${node.variable}\``, lowering.originOf(node), earlier.origin);
    return;
  }
  if (!range) {
    lowering.gaps.count += 1;
    return;
  }
  const lowest = range.interval.lower?.value;
  if (lowest && lowest.compare(node.variable === "age" ? 0 : rational("0.1")) < 0) {
    lowering.report({
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
    lowering.report({
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
      : lowering.checkWord(
          lowering.originOfProperty(node, "condition"),
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
    origin: lowering.originOf(node),
  };
}
