import type { Repair } from "@limbwright/shared/finding";
import type { Handler, Protocol } from "../../model/index.ts";
import {
  type BrokenCheck,
  handlerWords,
  isAboutLeakOf,
  isUp,
  LEAK_UNDECIDED,
  mayInjectAgain,
  not,
  type RunsWithLeak,
} from "../../runs/index.ts";
import type { Rule } from "../engine/definition.ts";
import type { Detected } from "../engine/judgement.ts";
import { judgeOverRuns } from "../engine/over-runs.ts";
import { parametersFor } from "../engine/parameters.ts";
import { leakHandlers } from "../facts/emergencies-reached.ts";
import { mayBeUsedUp, weaknessOfLeakAnswer } from "../facts/leak-answers.ts";
import { beforeHoldReaches, sinceInjectionText } from "../facts/planned-release.ts";
import { writeInThroughout } from "../facts/step-repairs.ts";
import { STATED } from "../generated/stated.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch: ({ protocol, cuffs, parameterOf }) => {
    const minimum = parameterOf("early-release", "minimum");
    const origin = protocol.cuffs?.origin ?? protocol.nameOrigin;
    const handlers = leakHandlers(protocol);
    const sound = new Set(handlers.filter((handler) => isSound(handler, protocol)));
    const hasAnswers = handlers.length > 0;
    return (instant) => {
      if (instant.kind === "start" && instant.step.kind === "inject") {
        return [{ when: LEAK_UNDECIDED, about: GOES_ON, inLeaks: "alone" }];
      }
      if (instant.kind !== "any") return [];
      return cuffs.flatMap((cuff) => {
        const isAnswered = instant.answered((one) => sound.has(one) && isAboutLeakOf(cuff, one));
        return beforeHoldReaches(minimum, isUp(cuff), not(isAnswered)).map((check) => ({
          ...check,
          origin,
          ...(hasAnswers && { about: cuff }),
        }));
      });
    };
  },
  judge: (context) => {
    const { protocol, rule, leaks } = context;
    const weak = weakAnswers(protocol);
    if (weak.length > 0) return { found: weak, undecided: [] };
    const planned = judgeOverRuns(context, (broken) => words(broken, protocol));
    const isOpen = planned.found.length > 0 || planned.undecided.length > 0;
    return isOpen || !mayInjectAgain(protocol)
      ? planned
      : judgeOverRuns({ rule, runs: onlyAbout(GOES_ON, leaks) }, goesOn);
  },
};

/** What is broken where an injection goes on after a leak. */
const GOES_ON = "goes on";

function isSound(handler: Handler, protocol: Protocol): boolean {
  return !weaknessOfLeakAnswer(handler, protocol, minimumOf(protocol)) && !mayBeUsedUp(handler, protocol);
}

/** When the drug may be let go, by the rule that says so, in seconds. */
function minimumOf({ localRules }: Protocol): number {
  return parametersFor(STATED["early-release"], localRules)("minimum").value.valueOf();
}

/** Runs of which one thing alone is asked. */
function onlyAbout(about: string, runs: RunsWithLeak): RunsWithLeak {
  if (runs.kind === "not-explored") return runs;
  return { ...runs, brokenBy: (rule) => runs.brokenBy(rule).filter((broken) => broken.about === about) };
}

function goesOn({ origin, run }: BrokenCheck): Omit<Detected, "run"> {
  return {
    origin,
    severity: "unsafe",
    what: `After a leak \`${run.steps.at(-1)?.says ?? "inject"}\` can come, and nobody has decided that more is given.`,
    label: "goes on by itself after a leak",
    next: 'End the answer to the leak with `task cuff-decision "Go on with the injection?"`, or ask so before this step and inject under *yes* alone: what has passed the cuff is in the circulation.',
  };
}

/** What an answer does is the same in whatever run the cuff leaks. That it is then no answer where it is in force need not be told, too. */
function weakAnswers(protocol: Protocol): Detected[] {
  return leakHandlers(protocol).flatMap((handler) => {
    const weakness = weaknessOfLeakAnswer(handler, protocol, minimumOf(protocol));
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
  const usedUp = handlers.find(
    (handler) => mayBeUsedUp(handler, protocol) && isAboutLeakOf(about ?? "", handler),
  );
  if (usedUp) return onlyTheFirst(usedUp);
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

/** A cuff that has leaked leaks again. */
function onlyTheFirst(handler: Handler): Omit<Detected, "run"> {
  return {
    origin: handler.origin,
    severity: "unsafe",
    what: "The answer to a leak can be used up: when a cuff leaks again there is none.",
    label: "no answer to the next leak",
    next: "Remove `once` or `up to N times`.",
  };
}

function writeAnswer(protocol: Protocol): Repair[] {
  const answer = ["when cuff-leak {", "  inflate all", "  confirm all", "}"];
  return writeInThroughout(protocol, "Write an answer to a leak in throughout", answer);
}
