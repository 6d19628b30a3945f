import { exactText, rational, requireUnit, sameDimension, unitWithCode } from "@limbwright/shared/quantity";
import type { Parameter as FileParameter, Proof } from "@limbwright/shared/rule-file";
import type { Acceptance, LocalRules, ParameterSetting, Protocol } from "../model/index.ts";
import { catalogue } from "../rules/catalogue.ts";
import { acceptancesFor } from "../rules/engine/acceptances.ts";
import { GENERAL_PARAMETERS, type Parameter, type ParameterValue } from "../rules/engine/parameter.ts";
import { parametersFor } from "../rules/engine/parameters.ts";
import { valueEvidence } from "./fields.ts";
import { partedByKey } from "./pairing.ts";
import { bothSides, type Comparing, type FoundChange, kindOf, partedChanges } from "./side.ts";

const ABOUT = "local rules";

/**
 * What the protocol is judged by: the parameters of every rule, and the findings that are accepted. A rule file says by which
 * values it was judged then, also by those that nobody set.
 */
export function localRuleChanges({ before, now, judged }: Comparing): FoundChange[] {
  const sides: readonly [Judging, Judging] = [
    { protocol: before, proof: judged.before.compiled?.file.proof },
    { protocol: now, proof: judged.now.compiled?.file.proof },
  ];
  const rules = [{ rule: GENERAL, parameters: GENERAL_PARAMETERS }, ...catalogue.map(ofRule)];
  return rules
    .flatMap(({ rule, parameters }) => [
      ...parameters.flatMap((one) => parameterChange(rule, one, sides)),
      ...parametersOfThen(rule, parameters, sides),
    ])
    .concat(acceptanceChanges(before, now));
}

type OfRule = Parameters<typeof parametersFor>[0];

/** What belongs to no single rule. */
const GENERAL: OfRule = { id: "", parameters: [] };

function ofRule(rule: OfRule) {
  return { rule, parameters: rule.parameters ?? [] };
}

/** A version with what it is judged by. */
interface Judging {
  readonly protocol: Protocol;
  /** What was judged of it when it was compiled, where it is kept as its rule file. */
  readonly proof: Proof | undefined;
}

function parameterChange(
  rule: OfRule,
  parameter: Parameter,
  [before, now]: readonly [Judging, Judging],
): FoundChange[] {
  const [old, recent] = [judgedIn(rule, parameter, before), judgedIn(rule, parameter, now)];
  const full = fullName(rule, parameter.name);
  const told = ({ value }: Judged) => valueText(parameter, value);
  if (!old || !recent) {
    const one = old ?? recent;
    if (!one || !isKnown(rule, before) || !isKnown(rule, now)) return [];
    const side = old ? "is no longer asked for" : "is asked for now, and was not before";
    return [
      {
        code: "parameter-asked",
        about: `${ABOUT}: \`${full}\``,
        what: `\`${full}\`, ${told(one)}, ${side}.`,
      },
    ];
  }
  const common = {
    about: `${ABOUT}: \`${full}\``,
    ...placed("before", old, told(old)),
    ...placed("now", recent, told(recent)),
  };
  if (!recent.value.value.equals(old.value.value)) {
    const isOfCatalogue = !old.setting && !recent.setting;
    const by = isOfCatalogue ? " Nobody set it: the standard value of the rules is another." : "";
    const what = `\`${full}\` is ${told(recent)} now; before, ${told(old)}.${by}`;
    return [{ ...common, code: "parameter-value", what, ...sideOfValue(parameter, full, old, recent) }];
  }
  const [was, is] = [reasonOf(old.setting), reasonOf(recent.setting)];
  if (was === is) return [];
  const what = `The reason for \`${full}\` is another one: ${is}; before, ${was}.`;
  return [{ ...common, code: "parameter-reason", what }];
}

function fullName(rule: OfRule, name: string): string {
  return rule.id === "" ? name : `${rule.id}.${name}`;
}

interface Judged {
  readonly value: Pick<ParameterValue, "value" | "word">;
  readonly setting: ParameterSetting | undefined;
}

/** The value by which a version is judged, or was when it was compiled; undefined where nobody asked for it then. */
function judgedIn(rule: OfRule, parameter: Parameter, { protocol, proof }: Judging): Judged | undefined {
  const { localRules } = protocol;
  const setting = settingOf(rule, parameter.name, localRules);
  if (!proof) return { value: parametersFor(rule, localRules)(parameter.name), setting };
  const then = recordedIn(rule, proof)?.find(({ name }) => name === parameter.name);
  const unit = then && then.unit !== "1" ? unitWithCode(then.unit) : undefined;
  const isSameMeasure =
    parameter.unit === ""
      ? unit === undefined
      : unit && sameDimension(unit.dimension, requireUnit(parameter.unit).dimension);
  if (!then || !isSameMeasure) return undefined;
  const number = rational(then.value);
  const word = parameter.choices?.[number.valueOf()];
  const value = unit ? number.mul(unit.perBase) : number;
  return { value: { value, ...(word !== undefined && { word }) }, setting };
}

function recordedIn({ id }: OfRule, proof: Proof): readonly FileParameter[] | undefined {
  return id === "" ? proof.parameters : proof.verdicts.find(({ rule }) => rule === id)?.parameters;
}

/** A rule that was not there then is told as a new one, with all its parameters. */
function isKnown(rule: OfRule, { proof }: Judging): boolean {
  return !proof || recordedIn(rule, proof) !== undefined;
}

/** Parameters that a rule file records and that this program does not know, or knows in another measure. */
function parametersOfThen(
  rule: OfRule,
  parameters: readonly Parameter[],
  sides: readonly [Judging, Judging],
): FoundChange[] {
  const unknown = sides.map(({ proof }) =>
    ((proof && recordedIn(rule, proof)) ?? []).filter(
      ({ name }) => !parameters.some((one) => one.name === name),
    ),
  );
  const [old = [], recent = []] = unknown;
  return partedChanges(
    partedByKey(old, recent, ({ name, value, unit }) => `${name} ${value} ${unit}`),
    () => [],
    ({ name, value, unit }, isNew) => {
      const full = fullName(rule, name);
      return {
        code: "parameter-asked",
        about: `${ABOUT}: \`${full}\``,
        what: `\`${full}\` was ${value} ${unit} when the ${isNew ? "later" : "earlier"} version was compiled; this program has no such parameter.`,
      };
    },
  );
}

/** Without a tighter direction no value is looser than another. */
function sideOfValue(
  parameter: Parameter,
  full: string,
  old: Judged,
  recent: Judged,
): Pick<FoundChange, "kind" | "evidence"> {
  if (parameter.tighter === undefined) return { kind: "different" };
  const isTighter = recent.value.value.compare(old.value.value) > 0 === (parameter.tighter === "higher");
  const told = ({ value }: Judged) => valueText(parameter, value);
  const says = isTighter
    ? `${told(old)} is no longer enough for \`${full}\`.`
    : `${told(recent)} is enough for \`${full}\` now and was not before.`;
  return {
    kind: kindOf(!isTighter, isTighter),
    evidence: [valueEvidence(!isTighter, says)],
  };
}

function settingOf(rule: OfRule, name: string, localRules: LocalRules | undefined) {
  const id = rule.id === "" ? undefined : rule.id;
  return localRules?.settings.find((one) => one.parameter === name && one.rule === id);
}

function reasonOf(setting: ParameterSetting | undefined): string {
  return setting?.because === undefined ? "none" : `“${setting.because}”, ${setting.by ?? "nobody named"}`;
}

function valueText({ unit }: Parameter, { value, word }: Judged["value"]): string {
  if (word !== undefined) return word;
  const shown = unit === "" ? value : value.div(requireUnit(unit).perBase);
  return `${exactText(shown)} ${unit}`.trim();
}

function placed(side: "before" | "now", { setting }: Judged, says: string) {
  return setting ? { [side]: { says, origin: setting.origin } } : {};
}

/** That a finding is accepted is a person's judgement, and so is any change of it. */
function acceptanceChanges(before: Protocol, now: Protocol): FoundChange[] {
  const told = ({ rule, because, by, until }: Acceptance) => `${rule}: “${because}”, ${by}, until ${until}`;
  const change = (
    code: FoundChange["code"],
    what: string,
    old?: Acceptance,
    recent?: Acceptance,
  ): FoundChange => ({
    code,
    about: `accepted finding \`${(recent ?? old)?.rule}\``,
    what: `What \`${(recent ?? old)?.rule}\` finds is ${what}`,
    ...bothSides(old, recent, told),
  });
  return partedChanges(
    partedByKey(acceptancesFor(before), acceptancesFor(now), ({ rule }) => rule),
    (old, recent) => {
      const what = `accepted on other terms: ${told(recent)}; before, ${told(old)}.`;
      return told(old) === told(recent) ? [] : [change("acceptance-changed", what, old, recent)];
    },
    (one, isNew) =>
      isNew
        ? change("acceptance-added", `accepted now: ${told(one)}.`, undefined, one)
        : change("acceptance-removed", "no longer accepted.", one),
  );
}
