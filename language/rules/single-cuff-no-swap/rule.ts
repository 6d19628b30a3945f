import { clockText } from "@limbwright/shared/quantity";
import { allHandlers, type CuffSet, type Protocol } from "../../model/index.ts";
import type { Extreme } from "../../runs/index.ts";
import {
  type Detected,
  found,
  HOLDS,
  type Judgement,
  type Rule,
  type RuleContext,
  undecided,
} from "../engine/definition.ts";
import { undecidedRuns } from "../engine/over-runs.ts";

const ID = "single-cuff-no-swap";

/** Seconds. Pain is to be expected from here on: Update in Anaesthesia 15. */
const LONG = 40 * 60;

export const rule: Rule = {
  id: ID,
  title: "There is an answer to tourniquet pain with one cuff",
  group: "cuff",
  severity: "advice",
  why: "A single cuff leaves nothing to swap to, and most patients do not bear it for long; what is done about the pain is better decided before.",
  sources: [
    {
      title: "Clark N, Update in Anaesthesia 15, Intravenous regional anaesthesia",
      address:
        "https://www.scribd.com/document/591630849/Uia-15-Intravenous-Regional-Anaesthesia-Bier-s-Block",
      seen: "passage read",
      says: "operations of up to 40 min, cuff pain from 40 to 60 min: where this rule begins to ask",
    },
    {
      title: "Haghighi M et al., Arch Bone Jt Surg 2018;6:63, 80 patients",
      address:
        "https://fdocuments.net/document/a-comparison-between-single-and-double-tourniquet-abjsmumsacirarticle1007677a5def9e6d312e103f.html",
      seen: "abstract read",
      says: "pain under a single wide cuff began after 26.9 ± 13.2 min (sooner), and was answered with fentanyl",
    },
    {
      title: "Hartmannsgruber MW et al., Anesth Analg 1999, volunteers",
      address: "https://acnpsearch.tweb-dev.unibo.it/singlejournalindex/62259695",
      seen: "abstract read",
      says: "the proximal cuff was borne 36 to 38 min, then the distal one 34 to 36 min",
    },
    {
      title: "Caspian Journal of Surgery, single cuffs on the forearm and the upper arm, 60 patients",
      address: "https://www.caspjs.com/article_730112.html",
      seen: "abstract read",
      says: "pain grew with time under both cuffs",
    },
  ],
  judge,
};

function judge({ protocol, runs }: RuleContext): Judgement {
  const { cuffs } = protocol;
  if (runs.kind === "not-explored" || !cuffs) return { found: [], undecided: undecidedRuns(runs, ID) };
  if (cuffs.cuffs.length !== 1 || answersPain(protocol)) return HOLDS;
  const { occlusion } = runs.envelope;
  if (occlusion && isLong(occlusion.longest)) return found(words(cuffs, occlusion.longest));
  const limits = undecidedRuns(runs, ID);
  return occlusion || limits.length > 0
    ? { found: [], undecided: limits }
    : undecided(NEVER_DOWN, cuffs.origin);
}

const NEVER_DOWN = "no run lets the cuff down, so how long it may be up is not known";

function answersPain(protocol: Protocol): boolean {
  return allHandlers(protocol).some(
    (handler) => handler.kind === "event" && handler.event === "tourniquet-pain" && handler.steps.length > 0,
  );
}

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
