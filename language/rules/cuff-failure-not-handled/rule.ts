import type { Repair } from "@limbwright/shared/finding";
import { allHandlers, type Handler, type Protocol } from "../../model/index.ts";
import { linesBefore, needsALook } from "../../model/text-changes.ts";
import { type BrokenCheck, isAnswerToLeak, isOfLeaks, isUp, not } from "../../runs/index.ts";
import type { Rule } from "../engine/definition.ts";
import type { Detected } from "../engine/judgement.ts";
import { judgeOverRuns } from "../engine/over-runs.ts";
import { beforeHoldReaches, sinceInjectionText } from "../facts/planned-release.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch: ({ protocol, cuffs, parameterOf }) => {
    const minimum = parameterOf("early-release", "minimum");
    const origin = protocol.cuffs?.origin ?? protocol.nameOrigin;
    const hasAnswers = leakHandlers(protocol).some((handler) => isAnswerToLeak(handler, cuffs));
    return (instant) =>
      instant.kind === "any"
        ? cuffs.flatMap((cuff) => {
            const isAnswered = instant.answered((handler) => isAnswerToLeak(handler, [cuff]));
            return beforeHoldReaches(minimum, isUp(cuff), not(isAnswered)).map((check) => ({
              ...check,
              origin,
              ...(hasAnswers && { about: cuff }),
            }));
          })
        : [];
  },
  judge: (context) => judgeOverRuns(context, (broken) => words(broken, context.protocol)),
};

function leakHandlers(protocol: Protocol): Handler[] {
  return allHandlers(protocol).filter(isOfLeaks);
}

function words({ origin, about, run }: BrokenCheck, protocol: Protocol): Omit<Detected, "run"> {
  const handlers = leakHandlers(protocol);
  return {
    origin,
    what:
      handlers.length === 0
        ? "Nothing says what is done when a cuff loses its pressure while the drug is in the limb."
        : `Where ${about ?? "a cuff"} loses pressure ${sinceInjectionText(run)}, no \`when cuff-leak\` is in force that gets a cuff up and confirmed again, or goes to an emergency.`,
    label: "no answer to a leak",
    next: "Write `when cuff-leak { inflate all … confirm all }` in `throughout { … }`, without `once` and without the name of a cuff.",
    repairs: handlers.length === 0 ? writeAnswer(protocol) : [],
    related: handlers.map(({ origin: at }) => ({ origin: at, note: "answers a leak, but not this one" })),
  };
}

/** Where there is no `throughout` yet, before the emergencies. */
function writeAnswer({ throughout, emergencies }: Protocol): Repair[] {
  const handler = ["when cuff-leak {", "  inflate all", "  confirm all", "}"];
  const [first] = throughout;
  const place = first?.origin ?? emergencies[0]?.origin;
  const lines = first ? handler : ["throughout {", ...handler.map((line) => `  ${line}`), "}", ""];
  return place ? needsALook("Write an answer to a leak in throughout", linesBefore(place, lines)) : [];
}
