import type { Repair } from "@limbwright/shared/finding";
import type { Protocol } from "../../model/index.ts";
import { linesBefore, needsALook } from "../../model/text-changes.ts";
import { type BrokenCheck, handlerWords, isAboutLeakOf, isUp, not } from "../../runs/index.ts";
import type { Rule } from "../engine/definition.ts";
import type { Detected } from "../engine/judgement.ts";
import { judgeOverRuns } from "../engine/over-runs.ts";
import { leakHandlers } from "../facts/emergencies-reached.ts";
import { weaknessOfLeakAnswer } from "../facts/leak-answers.ts";
import { beforeHoldReaches, sinceInjectionText } from "../facts/planned-release.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch: ({ protocol, cuffs, parameterOf }) => {
    const minimum = parameterOf("early-release", "minimum");
    const origin = protocol.cuffs?.origin ?? protocol.nameOrigin;
    const handlers = leakHandlers(protocol);
    const sound = new Set(handlers.filter((handler) => !weaknessOfLeakAnswer(handler, protocol)));
    const hasAnswers = handlers.length > 0;
    return (instant) =>
      instant.kind === "any"
        ? cuffs.flatMap((cuff) => {
            const isAnswered = instant.answered((one) => sound.has(one) && isAboutLeakOf(cuff, one));
            return beforeHoldReaches(minimum, isUp(cuff), not(isAnswered)).map((check) => ({
              ...check,
              origin,
              ...(hasAnswers && { about: cuff }),
            }));
          })
        : [];
  },
  judge: (context) => {
    const weak = weakAnswers(context.protocol);
    return weak.length > 0
      ? { found: weak, undecided: [] }
      : judgeOverRuns(context, (broken) => words(broken, context.protocol));
  },
};

/** What an answer does is the same in whatever run the cuff leaks. That it is then no answer where it is in force need not be told, too. */
function weakAnswers(protocol: Protocol): Detected[] {
  return leakHandlers(protocol).flatMap((handler) => {
    const weakness = weaknessOfLeakAnswer(handler, protocol);
    if (weakness === undefined) return [];
    return [
      {
        origin: handler.origin,
        severity: "unsafe",
        what: `The answer to \`${handlerWords(handler)}\` ${weakness}.`,
        label: "no answer that holds the drug",
        next: "Begin it with `inflate all` and `confirm all`; whatever else is done comes after that, and a confirmation that fails leads to the treatment of toxicity.",
      },
    ];
  });
}

function words({ origin, about, run }: BrokenCheck, protocol: Protocol): Omit<Detected, "run"> {
  const handlers = leakHandlers(protocol);
  return {
    origin,
    what:
      handlers.length === 0
        ? "Nothing says what is done when a cuff loses its pressure while the drug is in the limb."
        : `Where ${about ?? "a cuff"} loses pressure ${sinceInjectionText(run)}, no \`when cuff-leak\` answers it.`,
    label: "no answer to a leak",
    ...(handlers.length > 0 && { severity: "unsafe" }),
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
