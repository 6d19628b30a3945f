import type { Finding, Origin, Related } from "@limbwright/shared/finding";
import {
  dimensionName,
  inBase,
  quantityText,
  type Rational,
  rational,
  requireUnit,
  sameDimension,
} from "@limbwright/shared/quantity";
import type { LocalRules, ParameterSetting } from "../../model/index.ts";
import { closestName } from "../../model/spelling.ts";
import type { StatedRule } from "./definition.ts";
import { boundsText, GENERAL_PARAMETERS, type Parameter, type ParameterValue } from "./parameter.ts";

/** The parameters of one rule as a protocol's local rules set them; a setting that is refused is left out. */
export function parametersFor(
  rule: Pick<StatedRule, "id" | "parameters">,
  localRules: LocalRules | undefined,
): (name: string) => ParameterValue {
  return (name) => {
    const own = rule.parameters.find((parameter) => parameter.name === name);
    const parameter = own ?? GENERAL_PARAMETERS.find((general) => general.name === name);
    if (!parameter) throw new Error(`rule ${rule.id} has no parameter ${name}`);
    const setting = localRules?.settings.find(
      (one) => one.parameter === name && one.rule === (own ? rule.id : undefined),
    );
    const accepted = setting && acceptValue(parameter, setting);
    const value = accepted ?? standardOf(parameter);
    const word = parameter.choices?.[value.valueOf()];
    return {
      value,
      ...(word !== undefined && { word }),
      unit: parameter.unit,
      dimension: dimensionOf(parameter),
      isLocal: accepted !== undefined,
      ...(accepted && setting && { origin: setting.origin }),
      from: accepted === undefined ? "the standard of this rule" : `local rules ${localRules?.name}`,
    };
  };
}

/** The standard value in base units. */
function standardOf(parameter: Parameter): Rational {
  const { choices, standard } = parameter;
  return choices ? rational(choices.indexOf(standard)) : inUnit(parameter, standard);
}

function inUnit(parameter: Parameter, text: string): Rational {
  const value = rational(text);
  return parameter.unit === "" ? value : inBase({ value, unit: requireUnit(parameter.unit) });
}

function dimensionOf(parameter: Parameter) {
  return parameter.unit === "" ? {} : requireUnit(parameter.unit).dimension;
}

function acceptValue(parameter: Parameter, setting: ParameterSetting): Rational | undefined {
  if (refusalOf(parameter, setting) !== undefined) return undefined;
  const { value } = setting;
  return value.kind === "quantity" ? inBase(value.quantity) : chosenWord(parameter, value.word);
}

/** The place of a word among the choices of a parameter; undefined where it is none of them. */
function chosenWord({ choices = [] }: Parameter, word: string): Rational | undefined {
  return choices.includes(word) ? rational(choices.indexOf(word)) : undefined;
}

/** What is wrong in local rules themselves. */
type Refusal = Pick<Finding, "rule" | "what" | "label" | "next">;

/** A refusal as a finding: an error, of which the rule's own sentence says nothing. */
export function refusedAt(origin: Origin, refusal: Refusal, related: readonly Related[] = []): Finding {
  return { ...refusal, severity: "error", origin, why: "", related, repairs: [] };
}

/** The refusal of a name that is none of those that are known. */
export function unknownName(
  name: string,
  known: Iterable<string>,
  words: { readonly what: string; readonly label?: string; readonly otherwise: string },
): Refusal {
  const near = closestName(name, known);
  const { what, label = "not known", otherwise } = words;
  return { rule: "name-unknown", what, label, next: near ? `Did you mean \`${near}\`?` : otherwise };
}

/** Why a setting does not hold; undefined when it does. */
function refusalOf(parameter: Parameter, setting: ParameterSetting): Refusal | undefined {
  if (parameter.choices) return refusalOfChoice(parameter.name, parameter.choices, setting);
  if (
    setting.value.kind !== "quantity" ||
    !sameDimension(setting.value.quantity.unit.dimension, dimensionOf(parameter))
  ) {
    return {
      rule: "unit-mismatch",
      what: `\`${parameter.name}\` takes ${dimensionName(dimensionOf(parameter))}.`,
      label: "another kind of value",
      next: `Write it like its standard, ${standardText(parameter)}.`,
    };
  }
  const value = inBase(setting.value.quantity);
  // A bare number has no unit to stand behind it.
  const said = quantityText(setting.value.quantity).trim();
  const passed = passedBound(parameter, value);
  const standard = standardText(parameter);
  if (passed !== undefined) {
    return {
      rule: "parameter-not-allowed",
      what: `${said} passes the bound of \`${parameter.name}\`, ${withUnit(parameter, passed)}; the standard, ${standard}, is used instead.`,
      label: "past the bound",
      next: `Write what is ${boundsText(parameter)}, or remove the line.`,
    };
  }
  const departs = isDeparture(parameter, value);
  if (!departs || (setting.because?.trim() && setting.by?.trim())) return undefined;
  const { tighter } = parameter;
  return {
    rule: "parameter-not-allowed",
    what: `${said} is ${tighter === undefined ? "not" : "looser than"} the standard, ${standard}, and lacks a reason or the role that decided it; the standard is used instead.`,
    label: `${tighter === undefined ? "not the standard" : "looser than the standard"}, without a reason and a role`,
    next: `Add \`because "…"\` and \`by "…"\`, or write ${standard}${tighter === undefined ? "" : OR_TIGHTER[tighter]}.`,
  };
}

const OR_TIGHTER = { higher: " or more", lower: " or less" } as const;

/** The bound that a value passes, as it is stated; undefined where it stays within all of them. */
export function passedBound(parameter: Parameter, value: Rational): string | undefined {
  const { bound, lowest, highest } = parameter;
  const side = (stated: string) => value.compare(inUnit(parameter, stated));
  if (bound !== undefined && isLooser(parameter, value, inUnit(parameter, bound))) return bound;
  if (lowest !== undefined && side(lowest) < 0) return lowest;
  return highest !== undefined && side(highest) > 0 ? highest : undefined;
}

/** Whether a value needs a reason: a looser one, or any other where no side is the tighter one. */
function isDeparture(parameter: Parameter, value: Rational): boolean {
  const standard = standardOf(parameter);
  return parameter.tighter === undefined
    ? value.compare(standard) !== 0
    : isLooser(parameter, value, standard);
}

function refusalOfChoice(
  name: string,
  choices: readonly string[],
  { value }: ParameterSetting,
): Refusal | undefined {
  if (value.kind === "word" && choices.includes(value.word)) return undefined;
  const words = choices.map((choice) => `\`${choice}\``).join(", ");
  if (value.kind !== "word") {
    return {
      rule: "unit-mismatch",
      what: `\`${name}\` takes a word.`,
      label: "another kind of value",
      next: `Write one of ${words}.`,
    };
  }
  return unknownName(value.word, choices, {
    what: `\`${value.word}\` is none of the choices of \`${name}\`; the standard is used instead.`,
    label: "no such choice",
    otherwise: `Write one of ${words}.`,
  });
}

function isLooser(parameter: Parameter, value: Rational, than: Rational): boolean {
  const side = value.compare(than);
  if (parameter.tighter === undefined) return false;
  return parameter.tighter === "higher" ? side < 0 : side > 0;
}

function standardText(parameter: Parameter): string {
  return withUnit(parameter, parameter.standard);
}

function withUnit({ unit }: Parameter, value: string): string {
  return `${value} ${unit}`.trim();
}

/** What is asked of a rule to judge how local rules set it or accept its findings. */
export type KnownRule = Pick<StatedRule, "id" | "severity" | "parameters" | "acceptable" | "acceptedUpTo">;

/** What is wrong with the settings of local rules: unknown rules and parameters, and values that do not hold. */
export function settingProblems(localRules: LocalRules, rules: readonly KnownRule[]): Finding[] {
  return localRules.settings.flatMap((setting) => {
    const first = localRules.settings.find((one) => isSameParameter(one, setting));
    const problem = first === setting || !first ? problemOf(setting, rules) : setTwice(setting);
    if (!problem) return [];
    const related = first && first !== setting ? [{ origin: first.origin, note: "first set here" }] : [];
    return [refusedAt(setting.origin, problem, related)];
  });
}

function isSameParameter(a: ParameterSetting, b: ParameterSetting): boolean {
  return a.rule === b.rule && a.parameter === b.parameter;
}

/** Two values for one parameter: a reader cannot tell which one counts. */
function setTwice({ rule, parameter }: ParameterSetting): Refusal {
  return {
    rule: "statement-twice",
    what: `\`${rule === undefined ? parameter : `${rule}.${parameter}`}\` is set twice; only the first is read.`,
    label: "set a second time",
    next: "Remove one of the two.",
  };
}

function problemOf(setting: ParameterSetting, rules: readonly KnownRule[]): Refusal | undefined {
  const rule = rules.find((one) => one.id === setting.rule);
  const ids = rules.map(({ id }) => id);
  if (setting.rule !== undefined && !rule) return unknown("rule", setting.rule, ids);
  const parameters = rule ? rule.parameters : GENERAL_PARAMETERS;
  const parameter = parameters.find((one) => one.name === setting.parameter);
  if (parameter) return refusalOf(parameter, setting);
  const names = parameters.map(({ name }) => name);
  return unknown(rule ? `parameter of ${rule.id}` : "parameter", setting.parameter, names);
}

function unknown(kind: string, name: string, known: readonly string[]): Refusal {
  return unknownName(name, known, {
    what: `There is no ${kind} called \`${name}\`.`,
    otherwise: "`limb rules` lists every rule with its parameters.",
  });
}
