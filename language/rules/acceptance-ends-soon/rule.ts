import { daysAfter, isInForce } from "@limbwright/shared/finding";
import { agentsOf, canonicalName } from "../../model/index.ts";
import { acceptancesFor } from "../engine/acceptances.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { type Detected, found, type Judgement } from "../engine/judgement.ts";

export const rule: Rule = { judge };

function judge({ protocol, on, parameter }: RuleContext): Judgement {
  const last = daysAfter(on, parameter("days").value.valueOf());
  const endsSoon = (one: { readonly until: string }) => isInForce(one, on) && one.until <= last;
  const drugs = new Set(agentsOf(protocol).map(({ name }) => canonicalName(name)));
  const answers = (protocol.localRules?.answers ?? []).filter(({ agent }) => drugs.has(canonicalName(agent)));
  return found(
    ...acceptancesFor(protocol)
      .filter(endsSoon)
      .map(({ ruleOrigin: origin, rule: id, by, until }) =>
        tell({ origin, what: `The acceptance of \`${id}\``, by, until }),
      ),
    ...answers
      .filter(endsSoon)
      .map(({ agentOrigin: origin, agent, by, until }) =>
        tell({ origin, what: `The answer for the maximum of \`${agent}\``, by, until }),
      ),
  );
}

interface Ending {
  readonly origin: Detected["origin"];
  readonly what: string;
  readonly by: string;
  readonly until: string;
}

function tell({ origin, what, by, until }: Ending): Detected {
  return {
    origin,
    what: `${what} ends on ${until}.`,
    label: "ends soon",
    next: `Have "${by}" look at it again, and write a new date; or mend what it is for. Once it has ended, the protocol can only be written as a draft.`,
  };
}
