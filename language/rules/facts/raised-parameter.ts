import { inBase, quantityText } from "@limbwright/shared/quantity";
import type { Protocol } from "../../model/index.ts";
import type { AskedUpTo, StatedRule, UpTo } from "../engine/definition.ts";
import { passedBound } from "../engine/parameters.ts";

interface OfRule {
  readonly rule: Pick<StatedRule, "id" | "parameters">;
  /** The name of the parameter that is the limit of a protocol. */
  readonly parameter: (protocol: Protocol) => string | undefined;
}

/**
 * What a rule finds about the cuffs, accepted up to a value: it is judged with the value for its parameter. They are named by their
 * place, so that words for an arm do not cover a leg.
 */
export function upToParameter({ rule, parameter }: OfRule): UpTo {
  return {
    refusal: ({ protocol, subject, value }) => {
      const place = placeOf(protocol);
      if (place !== subject) {
        return {
          what: `The cuffs of \`${protocol.name}\` are ${place === undefined ? "nowhere" : `on \`${place}\``}, not on \`${subject}\`.`,
          label: "not the place of the cuffs",
          next: place === undefined ? "Say where the cuffs are." : `Write \`of ${place}\`.`,
        };
      }
      const limit = rule.parameters.find(({ name }) => name === parameter(protocol));
      const passed = limit && passedBound(limit, inBase(value));
      if (!limit || passed === undefined) return undefined;
      const bound = `${passed} ${limit.unit}`;
      return {
        what: `${quantityText(value)} is over ${bound}, past which nobody may accept it; so it covers nothing.`,
        label: `over ${bound}`,
        next: `Write ${bound} or less, and mend what is over it.`,
      };
    },
    withValue: (asked) => withSetting(asked, rule.id, parameter(asked.protocol)),
  };
}

/** What names the cuffs of a protocol in an acceptance. */
export function placeOf({ cuffs }: Protocol): string | undefined {
  return cuffs?.place?.value;
}

/** Before all other settings, for the first one counts. */
function withSetting(
  { protocol, value, acceptance }: AskedUpTo,
  rule: string,
  parameter: string | undefined,
): Protocol {
  const { localRules } = protocol;
  if (!localRules || parameter === undefined) return protocol;
  const { because, by, origin } = acceptance;
  const setting = {
    ...{ rule, parameter, because, by, origin },
    value: { kind: "quantity", quantity: value } as const,
    nameOrigin: origin,
  };
  return { ...protocol, localRules: { ...localRules, settings: [setting, ...localRules.settings] } };
}
