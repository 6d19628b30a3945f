import type { Origin } from "@limbwright/shared/finding";
import {
  exactText,
  inBase,
  quantityText,
  rational,
  requireUnit,
  sameDimension,
  unitWithCode,
} from "@limbwright/shared/quantity";
import type { Parameter as FileParameter, Proof } from "@limbwright/shared/rule-file";
import type { Acceptance, LocalRules, MaximumAnswer, ParameterSetting, Protocol } from "../model/index.ts";
import { catalogue } from "../rules/catalogue.ts";
import { acceptancesFor, lacksForUnsafe } from "../rules/engine/acceptances.ts";
import { GENERAL_PARAMETERS, type Parameter, type ParameterValue } from "../rules/engine/parameter.ts";
import { parametersFor } from "../rules/engine/parameters.ts";
import { answersIn } from "../rules/facts/answers.ts";
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
    .concat(acceptanceChanges(before, now), answerChanges(before, now));
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

/** A new, a wider or a longer acceptance lets more pass. Another subject is another acceptance. */
function acceptanceChanges(before: Protocol, now: Protocol): FoundChange[] {
  const told = ({ rule, subject, upTo, because, by, alsoBy, until }: Acceptance) =>
    `${rule}${subject === undefined ? "" : ` of “${subject}”`}${upTo ? ` up to ${quantityText(upTo)}` : ""}: “${because}”, ${rolesText(by, alsoBy)}, until ${until}`;
  const compareValues = (old: Acceptance, recent: Acceptance) =>
    old.upTo && recent.upTo ? inBase(recent.upTo).compare(inBase(old.upTo)) : 0;
  // One up to a value that lacks something accepts nothing at all.
  const counting = (protocol: Protocol) =>
    acceptancesFor(protocol).filter((one) => !one.upTo || lacksForUnsafe(one, protocol) === undefined);
  return grantChanges(counting(before), counting(now), {
    code: "acceptance",
    // A value by weight is for another limit than one in all.
    keyOf: ({ rule, subject = "", upTo }) =>
      `${rule} ${subject} ${upTo ? JSON.stringify(upTo.unit.dimension) : ""}`,
    about: ({ rule }) => `accepted finding \`${rule}\``,
    what: ({ rule }) => `What \`${rule}\` finds is`,
    granted: "accepted",
    told,
    isWider: (old, recent) => compareValues(old, recent) > 0 || recent.until > old.until,
    isNarrower: (old, recent) => compareValues(old, recent) < 0 || recent.until < old.until,
  });
}

/** An answer gives a maximum that nobody published: a higher one, or one for longer, lets more pass. */
function answerChanges(before: Protocol, now: Protocol): FoundChange[] {
  const compareLimits = (old: MaximumAnswer, recent: MaximumAnswer) =>
    sameDimension(old.limit.unit.dimension, recent.limit.unit.dimension)
      ? recent.limit.value.compare(old.limit.value)
      : 1;
  return grantChanges(answersIn(before), answersIn(now), {
    code: "maximum-answer",
    keyOf: ({ agent }) => agent,
    about: ({ agent }) => `maximum of \`${agent}\``,
    what: ({ agent }) => `The maximum of \`${agent}\` is`,
    granted: "answered by local rules",
    told: ({ limit, source, because, by, until }) =>
      `${quantityText(limit)}, ${source}, “${because}”, ${by}, until ${until}`,
    isWider: (old, recent) => compareLimits(old, recent) > 0 || recent.until > old.until,
    isNarrower: (old, recent) => compareLimits(old, recent) < 0 || recent.until < old.until,
  });
}

/** What local rules let pass, in one of the two ways. */
interface Grant<T> {
  readonly code: "acceptance" | "maximum-answer";
  readonly keyOf: (one: T) => string;
  readonly about: (one: T) => string;
  /** "What `x` finds is". */
  readonly what: (one: T) => string;
  /** "accepted". */
  readonly granted: string;
  readonly told: (one: T) => string;
  readonly isWider: (old: T, recent: T) => boolean;
  readonly isNarrower: (old: T, recent: T) => boolean;
}

function grantChanges<T extends { readonly origin: Origin }>(
  before: readonly T[],
  now: readonly T[],
  { code, keyOf, about, what, granted, told, isWider, isNarrower }: Grant<T>,
): FoundChange[] {
  return partedChanges(
    partedByKey(before, now, keyOf),
    (old, recent): FoundChange[] => {
      if (told(old) === told(recent)) return [];
      return [
        {
          code: `${code}-changed`,
          kind: kindOf(isWider(old, recent), isNarrower(old, recent)),
          about: about(recent),
          what: `${what(recent)} ${granted} on other terms: ${told(recent)}; before, ${told(old)}.`,
          ...bothSides(old, recent, told),
        },
      ];
    },
    (one, isNew): FoundChange =>
      isNew
        ? {
            code: `${code}-added`,
            kind: "looser",
            about: about(one),
            what: `${what(one)} ${granted} now: ${told(one)}.`,
            ...bothSides(undefined, one, told),
          }
        : {
            code: `${code}-removed`,
            kind: "tighter",
            about: about(one),
            what: `${what(one)} no longer ${granted}.`,
            ...bothSides(one, undefined, told),
          },
  );
}

function rolesText(by: string, alsoBy: string | undefined): string {
  return alsoBy === undefined ? by : `${by} and ${alsoBy}`;
}
