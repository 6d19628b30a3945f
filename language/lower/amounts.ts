import type { Origin } from "@limbwright/shared/finding";
import {
  CONCENTRATION,
  type Dimension,
  inBase,
  MASS,
  MASS_PER_WEIGHT,
  type Rational,
  ratio,
  sameDimension,
  timesDimension,
  unitOf,
  VOLUME,
  VOLUME_PER_WEIGHT,
} from "@limbwright/shared/quantity";
import { AstUtils } from "langium";
import type * as ast from "../grammar/generated/ast.ts";
import {
  type Amount,
  type BandedRow,
  type Combination,
  capAmount,
  chooseByBand,
  combineAmounts,
  likeDimension,
  occlusionAmount,
  quantityAmount,
  roundAmount,
  shareAmount,
  VARIABLE_DIMENSIONS,
  variableAmount,
  type WrittenQuantity,
} from "../model/index.ts";
import type { Variable } from "../population/expression.ts";
import { correction, type Lowering } from "./context.ts";
import { quantityOf, rangeOf, reportMismatch, unitAsWritten } from "./quantities.ts";
import { checkReadings } from "./two-readings.ts";

/** What an amount may refer to, and what it has to measure. */
export interface AmountSetting {
  readonly lowering: Lowering;
  /** The dimensions a single quantity may have here; "per weight" is added to mass and volume. */
  readonly expected: readonly Dimension[];
  /** mg/mL, where the amount is of an agent with one; masses and volumes can then be mixed. */
  readonly concentration?: WrittenQuantity;
  /** The hospital's table of occlusion pressures, for a cuff's pressure. */
  readonly occlusion?: Amount;
  /** How the place is called in a message: "`amount`". */
  readonly place: string;
}

/** Reads an amount and checks its units. Undefined after a problem, which is reported. */
export function amountOf(setting: AmountSetting, node: ast.Amount | undefined): Amount | undefined {
  if (!node) return undefined;
  const amount = lower(setting, node);
  if (!amount) return undefined;
  if (setting.expected.some((dimension) => sameDimension(dimension, amount.dimension))) return amount;
  reportMismatch(setting.lowering, amount.origin, amount.dimension, setting.expected, setting.place);
  return undefined;
}

function lower(setting: AmountSetting, node: ast.Amount): Amount | undefined {
  checkReadings(setting.lowering, node);
  switch (node.$type) {
    case "Literal":
      return lowerLiteral(setting, node);
    case "VariableUse":
      return lowerVariable(setting, node);
    case "GluedMinus":
      return lowerGluedMinus(setting, node);
    case "Sum":
      if (node.operator === "-") checkMinus(setting.lowering, node);
      return lowerBoth(setting, node, node.left, node.right, node.operator === "+" ? "sum" : "difference");
    case "Choice":
      return lowerBoth(setting, node, node.left, node.right, node.choice);
    case "Capped":
      return lowerCapped(setting, node);
    case "Rounded":
      return lowerRounded(setting, node);
    case "Factor":
      return lowerShare(setting, node);
    case "BandTable":
      return bandTable(setting, node);
  }
}

function lowerLiteral(setting: AmountSetting, node: ast.Literal): Amount | undefined {
  const read = quantityOf(
    setting.lowering,
    node.measured,
    quantityDimensions(setting.expected),
    setting.place,
  );
  return read && quantityAmount(read);
}

/** Where a mass or a volume is expected, so is one per weight. */
function quantityDimensions(expected: readonly Dimension[]): Dimension[] {
  return expected.flatMap((dimension) =>
    dimension.mass || dimension.volume ? [dimension, timesDimension(dimension, { weight: -1 })] : [dimension],
  );
}

function lowerVariable(setting: AmountSetting, node: ast.VariableUse): Amount | undefined {
  const origin = setting.lowering.originOf(node);
  if (node.variable === "occlusion-pressure") return occlusionPressure(setting, origin);
  const dimension = VARIABLE_DIMENSIONS[node.variable];
  if (setting.expected.some((expected) => sameDimension(expected, dimension))) {
    return variableAmount(node.variable, origin);
  }
  reportMismatch(setting.lowering, origin, dimension, setting.expected, setting.place);
  return undefined;
}

function occlusionPressure(setting: AmountSetting, origin: Origin): Amount | undefined {
  if (setting.occlusion) return occlusionAmount(setting.occlusion, origin);
  setting.lowering.report({
    rule: "statement-missing",
    origin,
    what: "`occlusion-pressure` is used, but these cuffs have no table of occlusion pressures.",
    label: "no table to look it up in",
    next: "Add `occlusion by circumference { … }` with the hospital's own table.",
  });
  return undefined;
}

/** Reports a minus without a space on both sides: "250 mmHg -10 mmHg" is read, but looks like a negative number. */
function checkMinus(lowering: Lowering, node: ast.Sum): void {
  const origin = lowering.originOfProperty(node, "operator");
  const document = AstUtils.getDocument(node);
  const around = document.textDocument.getText().slice(origin.start.offset - 1, origin.end.offset + 1);
  if (/^\s-\s$/.test(around)) return;
  const text = `${/^\s/.test(around) ? "" : " "}-${/\s$/.test(around) ? "" : " "}`;
  lowering.report({
    rule: "number-badly-written",
    origin,
    what: "This is read as a minus; without a space on both sides it looks like a hyphen or a negative number.",
    label: "minus without spaces",
    next: "Write - with a space on both sides.",
    repairs: [{ title: "Put spaces around the minus", safety: "safe", changes: [{ origin, text }] }],
  });
}

/** "systolic-10 mmHg" is read as a subtraction, and reported: it could as well be a name. */
function lowerGluedMinus(setting: AmountSetting, node: ast.GluedMinus): Amount | undefined {
  const { lowering } = setting;
  const split = node.text.search(/-[\d.]/);
  const variable = node.text.slice(0, split);
  const rest = node.text.slice(split + 1).trim();
  const origin = lowering.originOf(node);
  const text = `${variable} - ${rest}`;
  lowering.report({
    rule: "number-badly-written",
    origin,
    what: `\`${node.text}\` is read as \`${text}\`; without spaces a minus looks like a hyphen.`,
    label: "minus without spaces",
    ...correction(origin, text, "safe"),
  });
  const document = AstUtils.getDocument(node);
  const start = origin.start.offset;
  const variableOrigin = lowering.originOfOffsets(document, start, start + split);
  const found = /^([\d.]+)\s*(.*)$/.exec(rest);
  const unit = unitOf(found?.[2] ?? "");
  if (!(variable in VARIABLE_DIMENSIONS) || !found?.[1] || !unit) return undefined;
  const quantity: WrittenQuantity = {
    value: ratioOfText(found[1]),
    unit,
    origin: lowering.originOfOffsets(document, start + split + 1, origin.end.offset),
  };
  const left = variableAmount(variable as Variable, variableOrigin);
  return join(setting, left, quantityAmount(quantity), "difference", origin);
}

function ratioOfText(text: string): Rational {
  const [whole = "0", fraction = ""] = text.split(".");
  return ratio(BigInt(whole + fraction || "0"), 10n ** BigInt(fraction.length));
}

function lowerBoth(
  setting: AmountSetting,
  node: ast.Amount,
  leftNode: ast.Amount,
  rightNode: ast.Amount,
  kind: Combination,
): Amount | undefined {
  const left = leftNode && lower(setting, leftNode);
  const right = rightNode && lower(setting, rightNode);
  return left && right && join(setting, left, right, kind, setting.lowering.originOf(node));
}

function join(
  setting: AmountSetting,
  left: Amount,
  right: Amount,
  kind: Combination,
  origin: Origin,
): Amount | undefined {
  const joined = combineAmounts(kind, left, right, origin, setting.concentration);
  if (!joined) reportUnlike(setting, right, left.dimension);
  return joined;
}

function lowerCapped(setting: AmountSetting, node: ast.Capped): Amount | undefined {
  const of = node.of && lower(setting, node.of);
  const limit = node.limit && lower(setting, node.limit);
  if (!of || !limit) return undefined;
  const made = capAmount(of, limit, setting.lowering.originOf(node), setting.concentration);
  if (!made) reportUnlike(setting, limit, of.dimension);
  return made;
}

function lowerRounded(setting: AmountSetting, node: ast.Rounded): Amount | undefined {
  const { lowering } = setting;
  const of = node.of && lower(setting, node.of);
  const step = quantityOf(lowering, node.step, setting.expected, "`rounded down to`");
  if (!of || !step) return undefined;
  if (inBase(step).compare(0) <= 0) {
    lowering.report({
      rule: "value-out-of-range",
      origin: step.origin,
      what: "An amount can only be rounded down to a step over zero.",
      label: "not over zero",
      next: "Write what it is a multiple of, such as `1 mL`.",
    });
    return undefined;
  }
  const made = roundAmount(of, step, lowering.originOf(node), setting.concentration);
  if (!made) reportMismatch(lowering, step.origin, of.dimension, [step.unit.dimension], "This place");
  return made;
}

function lowerShare(setting: AmountSetting, node: ast.Factor): Amount | undefined {
  const { lowering } = setting;
  const of = node.of && lower(setting, node.of);
  const origin = lowering.originOf(node);
  if (node.half) return of && shareAmount("half", of, origin);
  if (unitAsWritten(node.share) !== "%") {
    reportNoShare(lowering, node);
    return undefined;
  }
  const factor = quantityOf(lowering, node.share, [CONCENTRATION], "A share");
  if (!of || !factor) return undefined;
  return shareAmount(factor, of, origin);
}

function reportNoShare(lowering: Lowering, node: ast.Factor): void {
  lowering.report({
    rule: unitAsWritten(node.share) === "" ? "unit-missing" : "unit-mismatch",
    origin: lowering.originOfProperty(node, "share"),
    what: "`of` takes a share before it: `half`, or a percentage such as `80 %`.",
    label: "not a share",
    next: "Write a percentage, or `half of`.",
  });
}

function bandTable(setting: AmountSetting, node: ast.BandTable): Amount | undefined {
  const { variable } = node;
  if (!variable) return undefined;
  const read = node.rows.map((row) => (row.$type === "Band" ? bandRow(setting, row, variable) : undefined));
  const rows = read.filter((row) => row !== undefined);
  const [first, ...others] = rows;
  const origin = setting.lowering.originOf(node);
  if (node.rows.length === 0) reportEmptyTable(setting.lowering, setting.lowering.originOfHeading(node));
  if (!first) return undefined;
  const { dimension } = first.amount;
  for (const { amount } of others) {
    if (!likeDimension(amount, dimension, setting.concentration)) reportUnlike(setting, amount, dimension);
  }
  const complete = rows.length === read.length;
  return complete ? chooseByBand(variable, [first, ...others], origin, setting.concentration) : undefined;
}

function bandRow(setting: AmountSetting, row: ast.Band, variable: Variable): BandedRow | undefined {
  const { lowering } = setting;
  const range = rangeOf(lowering, row.range, VARIABLE_DIMENSIONS[variable], `A row by ${variable}`);
  const amount = row.amount && lower(setting, row.amount);
  return range && amount && { range, amount, origin: lowering.originOf(row) };
}

function reportEmptyTable(lowering: Lowering, origin: Origin): void {
  lowering.report({
    rule: "statement-missing",
    origin,
    what: "The table has no rows.",
    label: "empty",
    next: "Write a row a line, such as `45 kg to under 50 kg   30 mL`.",
  });
}

function reportUnlike(setting: AmountSetting, amount: Amount, wanted: Dimension): void {
  reportMismatch(setting.lowering, amount.origin, amount.dimension, [wanted], "This place");
}

/** The dimensions in which a maximum may be written. */
export const LIMIT_DIMENSIONS: readonly Dimension[] = [MASS, VOLUME, MASS_PER_WEIGHT, VOLUME_PER_WEIGHT];
