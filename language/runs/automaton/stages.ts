import type { ClockCondition } from "@limbwright/shared/runtime";
import type { Step } from "../../model/index.ts";
import { stageLasting } from "./durations.ts";
import { is, set } from "./facts.ts";
import { buildHandlers, handlerCounts } from "./handlers.ts";
import { type Effect, effects, passing } from "./moments.ts";
import {
  type Building,
  emptyScope,
  locationBefore,
  locationDuring,
  type OpenStage,
  type Place,
} from "./place.ts";
import { stepWords } from "./step-words.ts";

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
  const clock = stageClock(step.name);
  const lasting = stageLasting(step, building.timing);
  const touched =
    lasting?.longest === undefined
      ? undefined
      : draft.variable({ name: `touched ${counter.next++}`, first: 0 });
  const atExit = passing(`end of ${step.name}`, setting.counted);
  const inHandler = place.phase === "handler" || place.phase === "emergency-handler";
  const stage: OpenStage = { name: step.name, exit: after, atExit, inHandler };
  const scope = emptyScope();
  building.groups.push({ kind: "stage", says, scope });
  const longest = lasting?.longest;
  const inside: Place = {
    ...place,
    stages: [...place.stages, stage],
    atMost: [...place.atMost, ...(longest === undefined ? [] : [{ clock, seconds: longest }])],
    scopes: [...place.scopes, scope],
  };
  const done = locationBefore(building, `end of ${says}`, inside);
  const inner = building.steps(building, step.steps, done, inside);
  buildStageEnd(building, { step, stage, done, inside, shortest: lasting?.shortest ?? 0 });
  const counts = handlerCounts(building, step.handlers);
  const before = locationBefore(building, `before ${says}`, place);
  const start = draft.edge({
    kind: "start",
    says,
    from: [before],
    to: inner,
    ...effects(
      {
        set: [...counts.map(({ variable }) => set(variable, 0)), ...(touched ? [set(touched, 0)] : [])],
        reset: [{ clock }],
      },
      stageStart(step.name, setting.counted),
    ),
    origin: step.origin,
  });
  draft.element({ kind: "step", says, origin: step.origin, edges: [start], step });
  if (touched !== undefined && longest !== undefined) {
    building.touched.push({ variable: touched, scope });
    draft.edge({
      kind: "end",
      says,
      from: [...scope.during, ...scope.before],
      to: after,
      when: is(touched, 1),
      guard: [{ clock, is: "at-least", seconds: longest }],
      ...atExit,
      due: true,
      origin: step.origin,
    });
  }
  buildHandlers(building, step.handlers, counts, scope, inside, { clock });
  return before;
}

/** The clock of a stage counts from its start, whether or not a timer of the protocol does. */
function stageClock(name: string): string {
  return `in ${name}`;
}

function stageStart(name: string, counted: readonly string[]): Effect {
  return passing(`start of ${name}`, counted);
}

interface StageEnd {
  readonly step: Step & { readonly kind: "stage" };
  readonly stage: OpenStage;
  readonly done: number;
  readonly inside: Place;
  readonly shortest: number;
}

function buildStageEnd(building: Building, { step, stage, done, inside, shortest }: StageEnd): void {
  const { draft } = building;
  const clock = stageClock(step.name);
  const guard = (is: ClockCondition["is"]): ClockCondition[] => [{ clock, is, seconds: shortest }];
  const ending = {
    kind: "end",
    says: stepWords(step),
    to: stage.exit,
    origin: step.origin,
    ...stage.atExit,
  } as const;
  if (shortest === 0) {
    draft.edge({ ...ending, from: [done] });
    return;
  }
  const rest = locationDuring(building, `rest of ${stepWords(step)}`, inside, []);
  draft.edge({ ...ending, from: [done], guard: guard("at-least") });
  draft.edge({
    kind: "pass",
    says: ending.says,
    from: [done],
    to: rest,
    guard: guard("under"),
    origin: step.origin,
  });
  draft.edge({ ...ending, from: [rest], guard: guard("at-least") });
}
