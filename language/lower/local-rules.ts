import { misspeltUnit, ONE, unitOf } from "@limbwright/shared/quantity";
import type * as ast from "../grammar/generated/ast.ts";
import { nodesOfType } from "../grammar/nodes.ts";
import type { Acceptance, LocalRules, MaximumAnswer, ParameterSetting } from "../model/index.ts";
import { canonicalName } from "../model/spelling.ts";
import { LIMIT_DIMENSIONS } from "./amounts.ts";
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
    answers: eachOnce(
      lowering,
      nodesOfType(node.entries, "MaximumAnswer").flatMap((one) => answerOf(lowering, one)),
    ),
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
  const quantity =
    unitAsWritten(node.measured) === ""
      ? quantityInUnit(lowering, node.measured, COUNT_UNIT)
      : quantityInItsUnit(lowering, node.measured, "`set`");
  return quantity && { kind: "quantity", quantity };
}

/** A quantity in whatever unit it is written: which one fits is judged with the catalogue. */
function quantityInItsUnit(lowering: Lowering, measured: ast.Measured, place: string) {
  const symbol = unitAsWritten(measured);
  const unit = unitOf(symbol) ?? misspeltUnit(symbol)?.unit;
  return quantityOf(lowering, measured, unit ? [unit.dimension] : [], place);
}

/** A number without a unit, such as how many staff; the catalogue judges whether that fits. */
const COUNT_UNIT = { symbol: "", ucum: "1", dimension: {}, perBase: ONE };

function acceptanceOf(lowering: Lowering, node: ast.Acceptance): Acceptance[] {
  const decided = decidedOf(lowering, node, { what: "An acceptance", by: "the role that accepts" });
  const upTo = node.upTo && quantityInItsUnit(lowering, node.upTo, "`accept … up to`");
  // Without the value that could not be read it would be another acceptance.
  if (!decided || !node.rule || (node.upTo && !upTo)) return [];
  const alsoBy = node.roles.find((role) => role.trim() !== "" && role.trim() !== decided.by.trim());
  return [
    {
      rule: node.rule,
      ruleOrigin: lowering.originOfProperty(node, "rule"),
      ...(node.subject !== undefined && { subject: node.subject }),
      ...(alsoBy !== undefined && { alsoBy }),
      ...(node.protocol && {
        protocol: node.protocol.$refText,
        protocolOrigin: lowering.originOfProperty(node, "protocol"),
      }),
      ...(upTo && { upTo }),
      ...decided,
      origin: lowering.originOf(node),
    },
  ];
}

function answerOf(lowering: Lowering, node: ast.MaximumAnswer): MaximumAnswer[] {
  const source = node.sources[0] ?? "";
  const decided = decidedOf(lowering, node, {
    what: "An answer",
    by: "the role that answers",
    missing: source.trim() === "" ? ['`source "where it is published"`'] : [],
  });
  const limit = quantityOf(lowering, node.limit, LIMIT_DIMENSIONS, "`answer maximum`");
  if (!decided || !limit || !node.agent) return [];
  return [
    {
      agent: node.agent.$refText,
      agentOrigin: lowering.originOfProperty(node, "agent"),
      limit,
      source,
      ...decided,
      origin: lowering.originOf(node),
    },
  ];
}

/** One answer for each drug in all, and one by weight: of two, nobody can tell which one counts. */
function eachOnce(lowering: Lowering, answers: readonly MaximumAnswer[]): MaximumAnswer[] {
  return answers.filter((answer, index) => {
    const first = answers.slice(0, index).find((one) => isSameQuestion(one, answer));
    if (!first) return true;
    lowering.report({
      rule: "statement-twice",
      origin: answer.agentOrigin,
      what: `The maximum of \`${answer.agent}\` is answered twice; only the first answer is read.`,
      label: "answered a second time",
      next: "Remove one of the two.",
      related: [{ origin: first.agentOrigin, note: "first answered here" }],
    });
    return false;
  });
}

function isSameQuestion(a: MaximumAnswer, b: MaximumAnswer): boolean {
  const isByWeight = ({ limit }: MaximumAnswer) => limit.unit.dimension.weight === -1;
  return canonicalName(a.agent) === canonicalName(b.agent) && isByWeight(a) === isByWeight(b);
}

interface DecidedWords {
  readonly what: string;
  readonly by: string;
  /** What else it lacks. */
  readonly missing?: readonly string[];
}

/** The reason, the role and the end that every decision of local rules needs; undefined where something is missing, which is reported. */
function decidedOf(
  lowering: Lowering,
  node: ast.Acceptance | ast.MaximumAnswer,
  words: DecidedWords,
): Pick<Acceptance, "because" | "by" | "until"> | undefined {
  const because = node.reasons[0] ?? "";
  const by = node.roles[0] ?? "";
  const missing = [
    ...(words.missing ?? []),
    ...(because.trim() === "" ? ['`because "the reason"`'] : []),
    ...(by.trim() === "" ? [`\`by "${words.by}"\``] : []),
    ...(node.ends.length === 0 ? ["`until DATE`"] : []),
  ];
  const until = node.ends[0] === undefined ? undefined : dateOf(lowering, node, "ends", node.ends[0]);
  if (missing.length === 0) return until === undefined ? undefined : { because, by, until };
  const needs = words.missing ? "a source, a reason, a role and an end" : "a reason, a role and an end";
  lowering.report({
    rule: "statement-missing",
    origin: lowering.originOf(node),
    what: `${words.what} needs ${needs}; this one lacks ${missing.join(" and ")}.`,
    label: words.missing ? "not answered like this" : "not accepted like this",
    next: `Add ${missing.join(" and ")}.`,
  });
  return undefined;
}
