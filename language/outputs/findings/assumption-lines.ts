import type { ProtocolJudgement } from "../../rules/engine/judge.ts";
import { rulesThatHold } from "../../rules/engine/judge.ts";
import { assumptionText } from "../../runs/index.ts";
import { paragraph, type TextOptions } from "./text-finding.ts";

/** The bounds on times that the rules lean on which hold, each with those rules; empty where there are none. */
export function assumptionLines({ explored, verdicts }: ProtocolJudgement, options: TextOptions): string[] {
  const leaning = new Map<string, string[]>();
  for (const [rule, assumptions] of explored.assumptionsOf(rulesThatHold(verdicts))) {
    for (const assumption of assumptions) {
      const words = assumptionText(assumption);
      leaning.set(words, [...(leaning.get(words) ?? []), rule]);
    }
  }
  if (leaning.size === 0) return [];
  return [
    "  Assumed, since no protocol can make it so:",
    ...[...leaning].flatMap(([words, rules]) =>
      paragraph("- ", `${words} (${rules.join(", ")})`, options, "    "),
    ),
  ];
}
