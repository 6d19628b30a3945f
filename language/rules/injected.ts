import { type Dose, injectedDoses, type Protocol } from "../model/index.ts";
import { HOLDS, type Judgement, together, undecided } from "./rule.ts";

/**
 * Judges every injected dose of a local anaesthetic, and no other dose. What is injected without the
 * formulary saying what kind of drug it is, is not decided.
 */
export function judgeInjectedAnaesthetics(protocol: Protocol, judge: (dose: Dose) => Judgement): Judgement {
  return together(
    injectedDoses(protocol).map((dose) => {
      const { agent } = dose;
      if (!agent) return undecided(`the drug of \`${dose.name}\` is not known`, dose.agentOrigin);
      if (agent.kind?.value === "local-anaesthetic") return judge(dose);
      return agent.kind
        ? HOLDS
        : undecided(`the formulary does not say what kind of drug ${agent.name} is`, dose.agentOrigin);
    }),
  );
}
