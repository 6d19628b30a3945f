import type { Repair } from "@limbwright/shared/finding";
import { clockText, secondsText } from "@limbwright/shared/quantity";
import type { Protocol } from "../../model/index.ts";
import { lineAfter, needsALook, writeInstead } from "../../model/text-changes.ts";
import {
  all,
  cuffNames,
  cuffVariable,
  DRUG_GIVEN,
  FLAT,
  FLAT_TIME,
  noneUp,
  type Run,
  someUp,
} from "../../runs/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import type { Judgement, Words } from "../engine/judgement.ts";
import { judgeOverRuns } from "../engine/over-runs.ts";
import { isPrilocaine } from "../facts/drugs.ts";
import { lastBegun } from "../facts/shown-run.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch:
    ({ cuffs, parameter }) =>
    (instant) =>
      instant.kind === "finish"
        ? [
            {
              when: all(DRUG_GIVEN, noneUp(cuffs), { variable: "deflations", atLeast: 1 }),
              clocks: [{ clock: FLAT_TIME, is: "under", seconds: parameter("minimum") }],
            },
            { when: all(DRUG_GIVEN, someUp(cuffs)) },
          ]
        : [],
  judge,
};

function judge(context: RuleContext<"runs">): Judgement {
  const least = secondsText(context.parameter("minimum").value.valueOf());
  const { protocol } = context;
  const later = protocol.doses.some(({ agent }) => isPrilocaine(agent)) ? LATER : "";
  return judgeOverRuns(context, ({ origin, run }) => {
    const { what, label, next } = isAnyUp(run, protocol) ? notReleased(least) : tooShort(run, least);
    const watching = lastBegun(run, "recovery") ?? lastBegun(run, "deflate");
    const repairs = isAnyUp(run, protocol) ? [] : watchLonger(protocol, least);
    return { origin: watching?.origin ?? origin, what, label, next: `${next}${later}`, repairs };
  });
}

function isAnyUp({ variables }: Run, protocol: Protocol): boolean {
  return cuffNames(protocol).some((cuff) => variables[cuffVariable(cuff)] !== FLAT);
}

function tooShort({ clocks }: Run, least: string): Words {
  return {
    what: `The protocol can end ${clockText(clocks[FLAT_TIME] ?? 0)} after the last cuff was let down; ${least} is the least.`,
    label: `over before ${least}`,
    next: `Write \`recovery ${least}\` as the last step, or another time of at least ${least}.`,
  };
}

function notReleased(least: string): Words {
  return {
    what: "The protocol can end with a cuff up, so nobody watches the patient after the release.",
    label: "no release is watched after this",
    next: `Let the cuffs down before the end, and write \`recovery ${least}\` after that.`,
  };
}

const LATER =
  " Say also what the patient is told at discharge: methaemoglobin from prilocaine rises for hours.";

/** The last step made longer, or one more written behind it; none behind a block, where the text may go on. */
function watchLonger({ steps = [] }: Protocol, least: string): Repair[] {
  const last = steps.at(-1);
  const words = `recovery ${least}`;
  if (last?.kind === "recovery") return last.notes.length === 0 ? writeInstead(last.origin, words) : [];
  const isOneLine = last?.kind === "do" || last?.kind === "watch" || last?.kind === "deflate";
  return isOneLine ? needsALook(`Write ${words} as the last step`, lineAfter(last.origin, words)) : [];
}
