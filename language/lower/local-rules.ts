import { misspeltUnit, ONE, unitOf } from "@limbwright/shared/quantity";
import type { AstNode } from "langium";
import type * as ast from "../grammar/generated/ast.ts";
import { nodesOfType } from "../grammar/nodes.ts";
import type { Acceptance, LocalRules, ParameterSetting } from "../model/index.ts";
import type { Lowering } from "./context.ts";
import { dateOf } from "./dates.ts";
import { checkName, nameOf } from "./names.ts";
import { quantityInUnit, quantityOf, unitAsWritten } from "./quantities.ts";

/** Lowers local rules, once. Whether rules and parameters exist is judged with the catalogue, later. */
export function localRulesOf(lowering: Lowering, node: ast.LocalRules): LocalRules {
  return readLocalRules(lowering, node).value;
}

/** Local rules with what is wrong in them, for their own file to report. */
export function readLocalRules(lowering: Lowering, node: ast.LocalRules) {
  return lowering.once(lowering.context.localRules, node, (own) => lower(own, node));
}

function lower(lowering: Lowering, node: ast.LocalRules): LocalRules {
  checkName(lowering, node);
  return {
    name: nameOf(node),
    origin: lowering.originOfHeading(node),
    nameOrigin: lowering.originOfProperty(node, "name"),
    settings: nodesOfType(node.entries, "Setting").flatMap((one) => settingOf(lowering, one)),
    acceptances: nodesOfType(node.entries, "Acceptance").flatMap((one) => acceptanceOf(lowering, one)),
  };
}

function settingOf(lowering: Lowering, node: ast.Setting): ParameterSetting[] {
  const value = settingValueOf(lowering, node);
  if (!value || !node.rule) return [];
  const [because] = node.reasons;
  const [by] = node.roles;
  const parameter = node.parameter ?? node.rule;
  return [
    {
      ...(node.parameter !== undefined && { rule: node.rule }),
      parameter,
      value,
      ...(because !== undefined && { because }),
      ...(by !== undefined && { by }),
      origin: lowering.originOf(node),
      nameOrigin: lowering.originOfProperty(node, "rule"),
    },
  ];
}

function settingValueOf(lowering: Lowering, node: ast.Setting): ParameterSetting["value"] | undefined {
  if (node.word !== undefined) return { kind: "word", word: node.word };
  if (!node.measured) return undefined;
  const symbol = unitAsWritten(node.measured);
  const unit = unitOf(symbol) ?? misspeltUnit(symbol)?.unit;
  const quantity = unit
    ? quantityOf(lowering, node.measured, [unit.dimension], "`set`")
    : symbol === ""
      ? quantityInUnit(lowering, node.measured, COUNT_UNIT)
      : quantityOf(lowering, node.measured, [], "`set`");
  return quantity && { kind: "quantity", quantity };
}

/** A number without a unit, such as how many staff; the catalogue judges whether that fits. */
const COUNT_UNIT = { symbol: "", ucum: "1", dimension: {}, perBase: ONE };

function acceptanceOf(lowering: Lowering, node: ast.Acceptance): Acceptance[] {
  const because = node.reasons[0] ?? "";
  const by = node.roles[0] ?? "";
  const missing = [
    because.trim() === "" && '`because "the reason"`',
    by.trim() === "" && '`by "the role that accepts"`',
    node.ends.length === 0 && "`until DATE`",
  ].filter((part) => part !== false);
  const until = node.ends[0] === undefined ? undefined : dateOf(lowering, node, "ends", node.ends[0]);
  if (missing.length > 0) reportIncomplete(lowering, node, missing);
  if (missing.length > 0 || until === undefined || !node.rule) return [];
  return [
    {
      rule: node.rule,
      ruleOrigin: lowering.originOfProperty(node, "rule"),
      ...(node.protocol && {
        protocol: node.protocol.$refText,
        protocolOrigin: lowering.originOfProperty(node, "protocol"),
      }),
      because,
      by,
      until,
      origin: lowering.originOf(node),
    },
  ];
}

function reportIncomplete(lowering: Lowering, node: AstNode, missing: readonly string[]): void {
  lowering.report({
    rule: "statement-missing",
    origin: lowering.originOf(node),
    what: `An acceptance needs a reason, a role and an end; this one lacks ${missing.join(" and ")}.`,
    label: "not accepted like this",
    next: `Add ${missing.join(" and ")}.`,
  });
}
