import { isInForce, lastDayAllowed } from "@limbwright/shared/finding";
import type { Agent, MaximumAnswer, Protocol } from "../../model/index.ts";
import { agentsOf } from "../../model/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { type Detected, found, type Judgement } from "../engine/judgement.ts";
import { answersFor, refusalOf } from "../facts/answers.ts";

export const rule: Rule = { judge };

function judge({ protocol, on }: RuleContext): Judgement {
  return found(
    ...agentsOf(protocol).flatMap((agent) =>
      answersFor(agent, protocol).flatMap((answer) => judgeOne(answer, agent, { protocol, on })),
    ),
  );
}

interface Asked {
  readonly protocol: Protocol;
  readonly on: string;
}

/** That an answer has ended, is told by another rule. */
function judgeOne(answer: MaximumAnswer, agent: Agent, { protocol, on }: Asked): Detected[] {
  const refused = refusalOf(answer, agent, protocol);
  if (refused) {
    const { label, says, next } = refused;
    return [tell(answer, { what: `cannot be answered like this: ${says}.`, label, next })];
  }
  const last = lastDayAllowed("unsafe", on);
  if (!isInForce(answer, on) || answer.until <= last) return [];
  return [
    tell(answer, {
      what: `is answered until ${answer.until}. An answer holds for a year at most, so this one covers nothing.`,
      label: "more than a year",
      next: `Write a day up to ${last}, by when somebody looks for a published value again.`,
    }),
  ];
}

function tell(
  { agent, agentOrigin }: MaximumAnswer,
  words: Pick<Detected, "what" | "label" | "next">,
): Detected {
  return { ...words, origin: agentOrigin, what: `The maximum of \`${agent}\` ${words.what}` };
}
