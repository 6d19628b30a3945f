import type { ClockCondition } from "@limbwright/shared/runtime";
import type { Step } from "../../model/index.ts";
import { checksAt, instantOf } from "./checks.ts";
import { lastingAsWritten } from "./durations.ts";
import { is, set } from "./facts.ts";
import { buildHandlers, handlerCounts } from "./handlers.ts";
import { type Effect, joinEffects, passMoment } from "./moments.ts";
import {
  type Building,
  emptyScope,
  isInHandler,
  locationBefore,
  locationDuring,
  type OpenStage,
  type Place,
} from "./place.ts";
import { stepData, stepWords } from "./step-meaning.ts";

/**
 * A stage: its steps, what may interrupt them, and its own times. One that `takes` a to b ends when its steps
 * are done and a has passed; when a handler has taken time in it, at b at the latest.
 */
export function buildStage(
  building: Building,
  step: Step & { readonly kind: "stage" },
  after: number,
  place: Place,
): number {
  const { draft, setting, counter } = building;
  const says = stepWords(step);
  const clock = stageClock(step.name, place);
  const lasting = lastingAsWritten(step, building.timing);
  const touched =
    lasting?.longest === undefined
      ? undefined
      : draft.addVariable({ name: `touched ${counter.next++}`, first: 0 });
  const atExit = passMoment(`end of ${step.name}`, setting.counted);
  const stage: OpenStage = {
    name: step.name,
    exit: after,
    atExit,
    inHandler: isInHandler(place),
    ...(touched !== undefined && { touched }),
    within: [],
  };
  const scope = emptyScope();
  for (const { within } of place.stages) within.push({ name: step.name, scope });
  building.groups.push({ kind: "stage", says, name: step.name, scope });
  const longest = lasting?.longest;
  const inside: Place = {
    ...place,
    stages: [...place.stages, stage],
    atMost: [...place.atMost, ...(longest === undefined ? [] : [{ clock, seconds: longest }])],
    scopes: [...place.scopes, scope],
  };
  const done = locationBefore(building, `end of ${says}`, inside);
  const inner = building.steps(building, step.steps, done, inside);
  buildStageEnd(building, { step, stage, done, inside, clock, shortest: lasting?.shortest ?? 0 });
  const counts = handlerCounts(building, step.handlers);
  const before = locationBefore(building, `before ${says}`, place);
  const start = draft.addEdge({
    kind: "start",
    says,
    step: stepData(step),
    from: [before],
    to: inner,
    ...joinEffects(
      {
        set: [...counts.map(({ variable }) => set(variable, 0)), ...(touched ? [set(touched, 0)] : [])],
        reset: [{ clock }],
      },
      stageStart(step.name, setting.counted),
    ),
    checks: checksAt(building, instantOf(building, "start", step, place), step.origin),
    origin: step.origin,
  });
  draft.addElement({ kind: "step", says, origin: step.origin, edges: [start], step });
  if (touched !== undefined && longest !== undefined) {
    building.touched.push({ variable: touched, scope });
    draft.addEdge({
      kind: "end",
      says,
      step: stepData(step),
      from: [...scope.during, ...scope.before],
      to: after,
      when: is(touched, 1),
      guard: [{ clock, is: "at-least", seconds: longest }],
      ...joinEffects(...stage.within.map((inner) => endInnerStage(inner, setting.counted)), atExit),
      due: true,
      origin: step.origin,
    });
  }
  buildHandlers(building, step.handlers, counts, scope, inside, { clock });
  return before;
}

/**
 * The clock of a stage counts from its start, whether or not a timer of the protocol does. By a routine a stage may hold another
 * of its name, and a handler may go through the stage that it interrupts: each has its own.
 */
function stageClock(name: string, place: Place): string {
  const around = place.stages.filter((stage) => stage.name === name).length;
  const clock = around > 0 ? `in ${name} ${around + 1}` : `in ${name}`;
  return isInHandler(place) ? `${clock} of handler` : clock;
}

/** A stage within one whose time is over ends with it, if the run stands there. */
function endInnerStage({ name, scope }: OpenStage["within"][number], counted: readonly string[]): Effect {
  return passMoment(`end of ${name}`, counted, { at: [...scope.during, ...scope.before] });
}

function stageStart(name: string, counted: readonly string[]): Effect {
  return passMoment(`start of ${name}`, counted);
}

interface StageEnd {
  readonly step: Step & { readonly kind: "stage" };
  readonly stage: OpenStage;
  readonly done: number;
  readonly inside: Place;
  readonly clock: string;
  readonly shortest: number;
}

function buildStageEnd(building: Building, { step, stage, done, inside, clock, shortest }: StageEnd): void {
  const { draft } = building;
  const guard = (is: ClockCondition["is"]): ClockCondition[] => [{ clock, is, seconds: shortest }];
  const ending = {
    kind: "end",
    says: stepWords(step),
    step: stepData(step),
    to: stage.exit,
    origin: step.origin,
    ...stage.atExit,
  } as const;
  if (shortest === 0) {
    draft.addEdge({ ...ending, from: [done] });
    return;
  }
  const rest = locationDuring(building, `rest of ${stepWords(step)}`, inside, [], step);
  draft.addEdge({ ...ending, from: [done], guard: guard("at-least") });
  const { says, step: data, origin } = ending;
  draft.addEdge({ kind: "pass", says, step: data, from: [done], to: rest, guard: guard("under"), origin });
  draft.addEdge({ ...ending, from: [rest], guard: guard("at-least") });
}
