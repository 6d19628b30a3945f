import { allHandlers, type Handler, type Protocol } from "../../model/index.ts";
import { all, DRUG_GIVEN, IN_FORCE, not, type Runs } from "../../runs/index.ts";
import type { Rule } from "../engine/definition.ts";
import { type Detected, found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import { runEvidence } from "../engine/over-runs.ts";
import {
  alwaysLeadsToEmergency,
  answersToxicity,
  emergenciesFrom,
  toxicityHandlers,
} from "../facts/emergencies-reached.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch: () => (instant) =>
    instant.kind === "any"
      ? [{ when: all(DRUG_GIVEN, IN_FORCE, not(instant.answered((handler) => isPlan(handler)))) }]
      : [],
  judge: (context) => withRun(judge(context.protocol), context.runs),
};

/** Whether a handler answers signs of toxicity whenever it is in force. */
function isPlan(handler: Handler): boolean {
  return handler.kind === "event" && answersToxicity(handler) && !handler.notBefore;
}

/** The earliest run in which signs of toxicity would meet no answer, where there is one to show. */
function withRun(judgement: Judgement, runs: Runs): Judgement {
  const [first, ...others] = judgement.found;
  if (!first || runs.kind !== "explored") return judgement;
  const [broken] = runs.brokenBy("no-toxicity-plan");
  const shown = broken ? { ...first, run: runEvidence(broken.run) } : first;
  return { ...judgement, found: [shown, ...others] };
}

function judge(protocol: Protocol): Judgement {
  const handlers = toxicityHandlers(protocol);
  const weaknesses = handlers.map((handler) => weaknessOf(protocol, handler));
  if (weaknesses.includes(undefined)) return HOLDS;
  if (protocol.incomplete) return undecided("part of the steps was not understood");
  const [weakness] = weaknesses;
  return found(weakness ?? noHandler(protocol));
}

/** Why a handler of `throughout` is no plan; undefined when it is one. */
function weaknessOf(protocol: Protocol, handler: Handler): Detected | undefined {
  if (emergenciesFrom(protocol, [handler]).length === 0) {
    return {
      origin: handler.origin,
      what: "Signs of toxicity are answered, but the answer leads to no emergency.",
      label: "leads to no emergency",
      next: NEXT,
    };
  }
  if (handler.kind === "event" && handler.notBefore) {
    return {
      origin: handler.origin,
      what: "Signs of toxicity are answered only some time after the first inflation, while the injection can begin before.",
      label: "not in force from the start",
      next: "Remove `not before …`.",
    };
  }
  if (handler.kind === "event" && handler.times !== undefined && !alwaysLeadsToEmergency(handler.steps)) {
    return {
      origin: handler.origin,
      what: "The answer to signs of toxicity can be used up without having led to an emergency; what comes after is then unanswered.",
      label: "may be used up",
      next: "Remove `once` or `up to N times`, or let every way through the answer end in `go to emergency`.",
    };
  }
  return undefined;
}

function noHandler(protocol: Protocol): Detected {
  const inStage = allHandlers(protocol).find(answersToxicity);
  if (inStage) {
    return {
      origin: inStage.origin,
      what: "Signs of toxicity are answered in one stage only; during the injection, the release and the recovery they are not.",
      label: "in this stage only",
      next: "Move it to `throughout { … }`, where it is in force from the first inflation to the end of recovery.",
    };
  }
  const [emergency] = protocol.emergencies;
  return {
    origin: protocol.nameOrigin,
    what: `Nothing in \`${protocol.name}\` answers signs of toxicity.`,
    label: "no plan for toxicity",
    next: emergency ? NEXT.replace("NAME", emergency.name) : NEXT,
    related: emergency ? [{ origin: emergency.origin, note: "an emergency that could be gone to" }] : [],
  };
}

const NEXT = "Write `when toxicity-signs { go to emergency NAME }` in `throughout { … }`.";
