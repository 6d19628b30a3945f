import { type Origin, originKey } from "@limbwright/shared/finding";
import {
  type Action,
  allHandlers,
  allSteps,
  type Emergency,
  type Handler,
  innerSteps,
  isEntered,
  type Protocol,
  type Requirement,
  type Step,
} from "../../model/index.ts";
import { doesAction, handlerWords, isOfLeaks, type RunsWithLeak, stepWords } from "../../runs/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { combine, type Detected, found, type Judgement } from "../engine/judgement.ts";
import { whyUndecided } from "../engine/over-runs.ts";
import { actionWords } from "../facts/action-words.ts";

export const rule: Rule<"runs"> = { needs: ["runs"], judge };

function judge(context: RuleContext<"runs">): Judgement {
  const { protocol, runs } = context;
  return combine([
    ofRuns(context, runs, (isUnreached) => findUnreached(protocol, isUnreached)),
    judgeLeakHandlers(context),
    found(...protocol.emergencies.filter((one) => !isEntered(one, protocol)).map(notEntered)),
    found(...protocol.requirements.flatMap((requirement) => findVacuous(requirement, protocol))),
  ]);
}

/** Without leaks nothing answers one, so these are looked for among the runs with a leak. */
function judgeLeakHandlers(context: RuleContext<"runs">): Judgement {
  const handlers = allHandlers(context.protocol).filter(isOfLeaks);
  if (handlers.length === 0) return combine([]);
  return ofRuns(context, context.leaks, (isUnreached) =>
    handlers.flatMap((one) => inHandler(one, isUnreached)),
  );
}

type IsUnreached = (origin: Origin) => boolean;

/** What is unreached is not known where runs were not followed to their ends. */
function ofRuns(
  { rule }: RuleContext,
  runs: RunsWithLeak,
  look: (isUnreached: IsUnreached) => Detected[],
): Judgement {
  if (runs.kind === "not-explored") return { found: [], undecided: whyUndecided(runs, rule.id) };
  const keys = new Set(runs.unreached.map(({ origin }) => originKey(origin)));
  const unreached = look((origin) => keys.has(originKey(origin)));
  const limits = whyUndecided(runs, rule.id);
  if (unreached.length === 0) return combine([]);
  return limits.length > 0 ? { found: [], undecided: limits } : found(...unreached);
}

/** The outermost unreached parts: what lies in one, and what follows one, is unreached with it. */
function findUnreached(protocol: Protocol, isUnreached: IsUnreached): Detected[] {
  const handlers = protocol.throughout.filter((handler) => !isOfLeaks(handler));
  return [
    ...inList(protocol.steps ?? [], isUnreached),
    ...handlers.flatMap((handler) => inHandler(handler, isUnreached)),
    ...protocol.emergencies.flatMap(({ steps }) => inEmergency(steps, isUnreached)),
  ];
}

/** An emergency that no run enters is told of where a step leads to it. */
function inEmergency(steps: readonly Step[], isUnreached: IsUnreached): Detected[] {
  const [first] = steps;
  return first && isUnreached(first.origin) ? [] : inList(steps, isUnreached);
}

function inList(steps: readonly Step[], isUnreached: IsUnreached): Detected[] {
  const at = steps.findIndex(({ origin }) => isUnreached(origin));
  const reached = at < 0 ? steps : steps.slice(0, at);
  const first = steps[at];
  return [
    ...reached.flatMap((step) => inStep(step, isUnreached)),
    ...(first ? [stepNever(first, steps.length - at - 1)] : []),
  ];
}

function inStep(step: Step, isUnreached: IsUnreached): Detected[] {
  if (step.kind !== "stage") return innerSteps(step).flatMap((inner) => inList(inner, isUnreached));
  const handlers = step.handlers.filter((handler) => !isOfLeaks(handler));
  return [
    ...inList(step.steps, isUnreached),
    ...handlers.flatMap((handler) => inHandler(handler, isUnreached)),
  ];
}

function inHandler(handler: Handler, isUnreached: IsUnreached): Detected[] {
  return isUnreached(handler.origin) ? [handlerNever(handler)] : inList(handler.steps, isUnreached);
}

/** A requirement that is kept because nothing it speaks of is ever done. */
function findVacuous({ property, title, origin }: Requirement, protocol: Protocol): Detected[] {
  if (property.kind === "never") return [];
  const asked = property.kind === "within" ? property.earlier : property.action;
  const isDone = [...allSteps(protocol)].some((step) => doesAction(step, asked, protocol));
  return isDone ? [] : [noStepDoes(asked, title, origin)];
}

/** The first step of a list that no run comes to, with how many stand after it. */
function stepNever(step: Step, following: number): Detected {
  const rest =
    following === 0
      ? ""
      : following === 1
        ? ", nor to the step after it"
        : `, nor to the ${following} steps after it`;
  return {
    origin: step.origin,
    what: `No run comes to \`${stepWords(step)}\`${rest}.`,
    label: "never reached",
    next: "Remove it, or change what stands before it so that some run gets here.",
  };
}

function handlerNever(handler: Handler): Detected {
  return {
    origin: handler.origin,
    what: `\`when ${handlerWords(handler)}\` can never happen here.`,
    label: "never happens",
    next:
      handler.kind === "reaches"
        ? `Name a time that \`${handler.timer}\` can reach here, or remove it.`
        : "Let the stage last until it can happen, or remove it.",
  };
}

function notEntered({ name, nameOrigin }: Emergency): Detected {
  return {
    origin: nameOrigin,
    what: `No step leads to the emergency \`${name}\`.`,
    label: "never entered",
    next: `Write a \`when\` that goes to it, such as \`when toxicity-signs { go to emergency ${name} }\`, or remove it.`,
  };
}

function noStepDoes(action: Action, title: string, origin: Origin): Detected {
  return {
    origin,
    what: `${title === "" ? "This requirement" : `"${title}"`} asks something of \`${actionWords(action)}\`, which no step does.`,
    label: "about what is never done",
    next: "Name an action of this protocol, or remove the requirement.",
  };
}
