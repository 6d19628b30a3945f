import { clockText } from "@limbwright/shared/quantity";
import type { CuffSet } from "../../model/index.ts";
import type { Extreme } from "../../runs/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { type Detected, found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import { whyUndecided } from "../engine/over-runs.ts";
import { answeredEvents } from "../facts/emergencies-reached.ts";

/** Seconds. Pain is to be expected from here on: Update in Anaesthesia 15. */
const LONG = 40 * 60;

export const rule: Rule<"runs"> = { needs: ["runs"], judge };

function judge({ rule, protocol, runs }: RuleContext<"runs">): Judgement {
  const { cuffs } = protocol;
  if (runs.kind === "not-explored" || !cuffs) return { found: [], undecided: whyUndecided(runs, rule.id) };
  if (cuffs.cuffs.length !== 1 || answeredEvents(protocol).has("tourniquet-pain")) return HOLDS;
  const { occlusion } = runs.envelope;
  if (occlusion && isLong(occlusion.longest)) return found(words(cuffs, occlusion.longest));
  const limits = whyUndecided(runs, rule.id);
  return occlusion || limits.length > 0
    ? { found: [], undecided: limits }
    : undecided(NEVER_DOWN, cuffs.origin);
}

const NEVER_DOWN = "no run lets the cuff down, so how long it may be up is not known";

/** Whether the cuff may be up over the time at which pain is to be expected; no longest is without limit. */
function isLong(longest: Extreme | undefined): boolean {
  return !longest || longest.seconds > LONG;
}

function words({ cuffs, origin }: CuffSet, longest: Extreme | undefined): Detected {
  const name = cuffs[0]?.name;
  const time = longest ? `for ${clockText(longest.seconds)}` : "without limit";
  return {
    origin,
    what: `\`${name}\`, the only cuff, may be up ${time}, and nothing says what is done about tourniquet pain.`,
    label: "no answer to tourniquet pain",
    next: "Write `when tourniquet-pain { … }` in the stage of the procedure, with what the team gives or does, or use two cuffs.",
  };
}
