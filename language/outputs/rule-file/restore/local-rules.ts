import { COUNT, ONE, rational } from "@limbwright/shared/quantity";
import type { Parameter as FileParameter, Proof } from "@limbwright/shared/rule-file";
import type { LocalRules, ParameterSetting } from "../../../model/index.ts";
import type { Places } from "./places.ts";
import { unitFrom } from "./values.ts";

/** The hospital's values and acceptances that a file was judged by; undefined where it used no local rules. */
export function localRulesFrom(places: Places, proof: Proof): LocalRules | undefined {
  if (proof.localRules === undefined) return undefined;
  const origin = places.at("/proof/localRules");
  return {
    name: proof.localRules,
    origin,
    nameOrigin: origin,
    settings: [
      ...settingsFrom(places, proof.parameters, "/proof/parameters", undefined),
      ...proof.verdicts.flatMap(({ rule, parameters }, index) =>
        settingsFrom(places, parameters, `/proof/verdicts/${index}/parameters`, rule),
      ),
    ],
    acceptances: proof.accepted.map(({ rule, because, by, until }, index) => {
      const place = places.at(`/proof/accepted/${index}`);
      return { rule, because, by, until, ruleOrigin: place, origin: place };
    }),
  };
}

function settingsFrom(
  places: Places,
  parameters: readonly FileParameter[],
  path: string,
  rule: string | undefined,
): ParameterSetting[] {
  return parameters.flatMap(({ name, value, unit, from, because, by }, index) => {
    if (from === "standard") return [];
    const origin = places.at(`${path}/${index}`);
    const of = unit === "1" ? PLAIN_NUMBER : unitFrom(unit);
    return [
      {
        ...(rule !== undefined && { rule }),
        parameter: name,
        value: { kind: "quantity" as const, quantity: { value: rational(value), unit: of, origin } },
        ...(because !== undefined && { because }),
        ...(by !== undefined && { by }),
        origin,
        nameOrigin: origin,
      },
    ];
  });
}

const PLAIN_NUMBER = { symbol: "", ucum: "1", dimension: COUNT, perBase: ONE };
