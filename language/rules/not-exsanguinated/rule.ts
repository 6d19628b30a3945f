import type { Repair } from "@limbwright/shared/finding";
import { secondsText } from "@limbwright/shared/quantity";
import { allSteps, type Protocol, type Step, stepsReached } from "../../model/index.ts";
import { insertBefore } from "../../model/text-changes.ts";
import { all, cuffNames, DRUG_GIVEN, EMPTIED, not, pickCuffs, someUp } from "../../runs/index.ts";
import type { Rule } from "../engine/definition.ts";
import { combine, type Detected, found } from "../engine/judgement.ts";
import { atStartOf, judgeOverRuns } from "../engine/over-runs.ts";
import { writtenTime } from "../facts/longest-time.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch: atStartOf("inject", ({ cuffs }) => [{ when: all(someUp(cuffs), not(EMPTIED), not(DRUG_GIVEN)) }]),
  judge: (context) => {
    const judged = judgeOverRuns(context, ({ origin }) => ({
      origin,
      what: "The injection can begin in a limb that is full of blood.",
      label: "the limb is full of blood",
      next: "Write `exsanguinate by elevation 3 min`, or `exsanguinate by bandage`, before the `inflate` after which the cuff stays up.",
      repairs: exsanguinateFirst(context.protocol),
    }));
    const short = elevatedBriefly(context.protocol, context.parameter("shortest-elevation").value.valueOf());
    const late = cuffComesLate(context.protocol, context.parameter("longest-before-cuff").value.valueOf());
    return combine([judged, found(...short, ...late)]);
  },
};

/** An arm that is held up for some seconds is still full; with a bandage after it, that does not matter. */
function elevatedBriefly(protocol: Protocol, shortest: number): Detected[] {
  const emptied = [...allSteps(protocol)].filter((step) => step.kind === "exsanguinate");
  if (emptied.some(({ method }) => method === "bandage")) return [];
  return emptied.flatMap(({ method, duration, origin }) => {
    if (method !== "elevation" || !duration || duration.shortest.compare(shortest) >= 0) return [];
    return [
      {
        origin,
        severity: "advice",
        what: `The limb may be held up for only ${secondsText(duration.shortest.valueOf())}; less than ${secondsText(shortest)} hardly empties it.`,
        label: "hardly emptied",
        next: "Write `exsanguinate by elevation 3 min`, or a bandage after it.",
      },
    ];
  });
}

/** A limb that is let down fills again, and one that stays wrapped has no blood for all that time. Only what is written to last is counted. */
function cuffComesLate(protocol: Protocol, longest: number): Detected[] {
  const late: Detected[] = [];
  let emptied: (Step & { readonly kind: "exsanguinate" }) | undefined;
  let seconds = 0;
  for (const step of stepsReached(protocol.steps ?? [])) {
    if (step.kind === "exsanguinate") {
      emptied = step;
      seconds = 0;
    } else if (step.kind === "inflate") {
      if (emptied && seconds > longest) late.push(tellLate(emptied, seconds, longest));
      emptied = undefined;
    } else {
      seconds += writtenTime(step, protocol);
    }
  }
  return late;
}

function tellLate(
  { method, origin }: Step & { readonly kind: "exsanguinate" },
  seconds: number,
  longest: number,
): Detected {
  const passed = Number.isFinite(seconds) ? `${secondsText(seconds)} can pass` : "any time can pass";
  const meanwhile =
    method === "bandage"
      ? "the bandage stops the blood as a cuff does, and no rule counts that time"
      : "the limb fills again";
  return {
    origin,
    what: `From here to the first cuff ${passed}, more than ${secondsText(longest)}: ${meanwhile}.`,
    label: method === "bandage" ? "wrapped for long" : "full again by then",
    next: "Empty the limb when all is ready, right before the cuff is inflated.",
  };
}

/** Empties the limb before the plan inflates for good; no repair where it does so already. */
function exsanguinateFirst(protocol: Protocol): Repair[] {
  const cuffs = cuffNames(protocol);
  const { steps = [] } = protocol;
  const before = steps.slice(
    0,
    steps.findIndex(({ kind }) => kind === "inject"),
  );
  const allDown = before.findLastIndex(
    (step) => step.kind === "deflate" && pickCuffs(step.cuffs, cuffs).length === cuffs.length,
  );
  const inEarnest = before.slice(allDown + 1);
  const inflation = inEarnest.find(({ kind }) => kind === "inflate");
  if (!inflation || inEarnest.some(({ kind }) => kind === "exsanguinate")) return [];
  return insertBefore(inflation.origin, "exsanguinate by elevation 3 min");
}
