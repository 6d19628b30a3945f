import { exactText, requiredUnit } from "@limbwright/shared/quantity";
import type { Acceptance, LocalRules, ParameterSetting, Protocol } from "../model/index.ts";
import { acceptancesFor } from "../rules/acceptances.ts";
import { catalogue } from "../rules/catalogue.ts";
import { GENERAL_PARAMETERS } from "../rules/general-parameters.ts";
import type { Parameter, ParameterValue } from "../rules/parameter.ts";
import { parametersFor } from "../rules/parameters.ts";
import { partedByKey } from "./parted.ts";
import { bothSides, type FoundChange, kindOf, type Sides } from "./side.ts";

const ABOUT = "local rules";

/** What the protocol is judged by: the parameters of every rule, and the findings that are accepted. */
export function localRuleChanges({ before, now }: Sides): FoundChange[] {
  const general = { id: "", parameters: [] };
  return [
    ...GENERAL_PARAMETERS.flatMap((one) => parameterChange(general, one, before, now)),
    ...catalogue.flatMap((rule) =>
      (rule.parameters ?? []).flatMap((one) => parameterChange(rule, one, before, now)),
    ),
    ...acceptanceChanges(before, now),
  ];
}

type Judging = Parameters<typeof parametersFor>[0];

function parameterChange(
  rule: Judging,
  parameter: Parameter,
  before: Protocol,
  now: Protocol,
): FoundChange[] {
  const { name } = parameter;
  const [old, recent] = [before, now].map(({ localRules }) => ({
    value: parametersFor(rule, localRules)(name),
    setting: settingOf(rule, name, localRules),
  })) as [Judged, Judged];
  const full = rule.id === "" ? name : `${rule.id}.${name}`;
  const told = ({ value }: Judged) => valueText(parameter, value);
  const common = {
    about: `${ABOUT}: \`${full}\``,
    ...placed("before", old, told(old)),
    ...placed("now", recent, told(recent)),
  };
  if (!recent.value.value.equals(old.value.value)) {
    const what = `\`${full}\` is ${told(recent)} now; before, ${told(old)}.`;
    return [{ ...common, what, ...sideOfValue(parameter, full, old, recent) }];
  }
  const [was, is] = [reasonOf(old.setting), reasonOf(recent.setting)];
  if (was === is) return [];
  const what = `The reason for \`${full}\` is another one: ${is}; before, ${was}.`;
  return [{ ...common, kind: "needs-a-reader", what }];
}

interface Judged {
  readonly value: ParameterValue;
  readonly setting: ParameterSetting | undefined;
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
    evidence: [{ kind: "value", side: isTighter ? "tighter" : "looser", says }],
  };
}

function settingOf(rule: Judging, name: string, localRules: LocalRules | undefined) {
  const id = rule.id === "" ? undefined : rule.id;
  return localRules?.settings.find((one) => one.parameter === name && one.rule === id);
}

function reasonOf(setting: ParameterSetting | undefined): string {
  return setting?.because === undefined ? "none" : `“${setting.because}”, ${setting.by ?? "nobody named"}`;
}

function valueText({ unit }: Parameter, { value, word }: ParameterValue): string {
  if (word !== undefined) return word;
  const shown = unit === "" ? value : value.div(requiredUnit(unit).perBase);
  return `${exactText(shown)} ${unit}`.trim();
}

function placed(side: "before" | "now", { setting }: Judged, says: string) {
  return setting ? { [side]: { says, origin: setting.origin } } : {};
}

/** That a finding is accepted is a person's judgement, and so is any change of it. */
function acceptanceChanges(before: Protocol, now: Protocol): FoundChange[] {
  const told = ({ rule, because, by, until }: Acceptance) => `${rule}: “${because}”, ${by}, until ${until}`;
  const { pairs, gone, added } = partedByKey(acceptancesFor(before), acceptancesFor(now), ({ rule }) => rule);
  const change = (
    old: Acceptance | undefined,
    recent: Acceptance | undefined,
    what: string,
  ): FoundChange => ({
    kind: "needs-a-reader",
    about: `accepted finding \`${(recent ?? old)?.rule}\``,
    what,
    ...bothSides(old, recent, told),
  });
  return [
    ...pairs
      .filter(([old, recent]) => told(old) !== told(recent))
      .map(([old, recent]) =>
        change(
          old,
          recent,
          `What \`${recent.rule}\` finds is accepted otherwise: ${told(recent)}; before, ${told(old)}.`,
        ),
      ),
    ...gone.map((old) => change(old, undefined, `What \`${old.rule}\` finds is no longer accepted.`)),
    ...added.map((recent) =>
      change(undefined, recent, `What \`${recent.rule}\` finds is accepted now: ${told(recent)}.`),
    ),
  ];
}
