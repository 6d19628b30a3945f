import { COUNT, ONE, rational } from "@limbwright/shared/quantity";
import type { Parameter as FileParameter, Proof } from "@limbwright/shared/rule-file";
import type { LocalRules, ParameterSetting } from "../model/index.ts";
import { catalogue } from "../rules/catalogue.ts";
import { type Restoring, restorePart } from "./codec.ts";
import type { Places } from "./marks.ts";
import { quantityFrom, unitFrom } from "./values.ts";

/** The hospital's values, acceptances and answers that a file was judged by; undefined where it used no local rules. */
export function localRulesFrom(restoring: Restoring, proof: Proof): LocalRules | undefined {
  const { places } = restoring;
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
    acceptances: proof.accepted.map(({ findings, upTo, ...acceptance }, index) => {
      const place = places.at(`/proof/accepted/${index}`);
      const value = upTo && { upTo: quantityFrom(upTo, place) };
      return { ...acceptance, ...value, ruleOrigin: place, origin: place };
    }),
    answers: proof.answers.map((one, index) => {
      const path = `/proof/answers/${index}`;
      const place = places.at(path);
      return {
        ...restorePart(restoring, "Answer", one, path),
        agent: one.agent,
        agentOrigin: place,
        origin: place,
      };
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
    const word = choiceOf(rule, name, value);
    return [
      {
        ...(rule !== undefined && { rule }),
        parameter: name,
        value: word
          ? { kind: "word" as const, word }
          : { kind: "quantity" as const, quantity: { value: rational(value), unit: of, origin } },
        ...(because !== undefined && { because }),
        ...(by !== undefined && { by }),
        origin,
        nameOrigin: origin,
      },
    ];
  });
}

/** A choice of words stands in a file as its place among them; undefined for any other parameter. */
function choiceOf(rule: string | undefined, name: string, value: string): string | undefined {
  const parameters = catalogue.find(({ id }) => id === rule)?.parameters ?? [];
  return parameters.find((one) => one.name === name)?.choices?.[Number(value)];
}

const PLAIN_NUMBER = { symbol: "", ucum: "1", dimension: COUNT, perBase: ONE };
