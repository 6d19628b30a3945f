import type { Amount, CuffSet } from "../../model/index.ts";
import type { RuleContext } from "../engine/definition.ts";
import { type Judgement, undecided } from "../engine/judgement.ts";

/** Cuffs with a target pressure that was understood. */
export type CuffsWithPressure = CuffSet & { readonly pressure: Amount };

/** Judges the target pressure; without one, or without patients that were understood, it is not decided. */
export function judgeTargetPressure(
  { protocol }: RuleContext,
  judge: (cuffs: CuffsWithPressure) => Judgement,
): Judgement {
  const { cuffs, patients } = protocol;
  const pressure = cuffs?.pressure;
  if (!pressure) return undecided("the cuffs have no target pressure that was understood", cuffs?.origin);
  if (!patients || patients.incomplete) return undecided("whom the protocol covers was not understood");
  return judge({ ...cuffs, pressure });
}
