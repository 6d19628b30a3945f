import type { Dose, Protocol } from "../../model/index.ts";
import { type Judgement, together } from "../engine/definition.ts";
import { injectedDrugs, injectedWithoutKind } from "./injected-drugs.ts";
import { isLocalAnaesthetic } from "./known-agents.ts";

/**
 * Judges every injected dose of a local anaesthetic, and no other dose. What is injected without the
 * formulary saying what kind of drug it is, is not decided.
 */
export function judgeInjectedAnaesthetics(protocol: Protocol, judge: (dose: Dose) => Judgement): Judgement {
  const drugs = injectedDrugs(protocol).filter(({ isMixedIn }) => !isMixedIn);
  const anaesthetics = drugs.filter(({ agent }) => isLocalAnaesthetic(agent));
  return together([
    { found: [], undecided: injectedWithoutKind(drugs) },
    ...anaesthetics.map(({ dose }) => judge(dose)),
  ]);
}
