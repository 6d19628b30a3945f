import type { Agent } from "./agent.ts";
import type { Dose } from "./dose.ts";
import type { Emergency, Protocol } from "./protocol.ts";
import { canonicalName } from "./spelling.ts";
import type { Handler, Step } from "./step.ts";

/** A step and everything inside it, in the order of the text. */
export function* stepsWithin(steps: readonly Step[]): Generator<Step> {
  for (const step of steps) {
    yield step;
    for (const inner of innerSteps(step)) yield* stepsWithin(inner);
  }
}

/** The same without what stands after a step that leaves its list for good: nobody ever comes to that. */
export function* stepsReached(steps: readonly Step[]): Generator<Step> {
  for (const step of steps) {
    yield step;
    for (const inner of innerSteps(step)) yield* stepsReached(inner);
    if (alwaysLeaves(step)) return;
  }
}

function alwaysLeaves(step: Step): boolean {
  if (LEAVING.has(step.kind)) return true;
  if (!holdsSteps(step)) return false;
  switch (step.kind) {
    case "do":
    case "repeat":
      return step.steps.some(alwaysLeaves);
    case "ask":
      return step.yes.some(alwaysLeaves) && step.no.some(alwaysLeaves);
    case "stage":
    case "confirm":
      return false;
  }
}

/** The kinds of steps behind which nobody comes to what stands in the same list. */
export const LEAVING: ReadonlySet<Step["kind"]> = new Set(["finish", "end-stage", "go-to-emergency"]);

/** A step with lists of steps inside it: the kinds that have one are known by their types. */
export type HoldingSteps = Holding<Step>;

type Holding<Each> = Each extends Step
  ? Extract<keyof Each, "steps" | "handlers" | "yes" | "no" | "otherwise"> extends never
    ? never
    : Each
  : never;

const HOLDING: { readonly [Kind in HoldingSteps["kind"]]: true } = {
  stage: true,
  repeat: true,
  do: true,
  ask: true,
  confirm: true,
};

export function holdsSteps(step: Step): step is HoldingSteps {
  return step.kind in HOLDING;
}

/** The lists of steps inside a step: a stage with what may interrupt it, both answers of a question, … */
export function innerSteps(step: Step): readonly (readonly Step[])[] {
  if (!holdsSteps(step)) return [];
  switch (step.kind) {
    case "stage":
      return [step.steps, ...step.handlers.map((handler) => handler.steps)];
    case "repeat":
    case "do":
      return [step.steps];
    case "ask":
      return [step.yes, step.no];
    case "confirm":
      return step.otherwise ? [step.otherwise] : [];
  }
}

/** A step with each of the lists inside it made another one; itself where it holds none. */
export function changeInner(step: Step, change: ChangeList): Step {
  if (!holdsSteps(step)) return step;
  switch (step.kind) {
    case "stage":
      return {
        ...step,
        steps: change(step.steps),
        handlers: step.handlers.map((one) => changeOwn(one, change)),
      };
    case "repeat":
    case "do":
      return changeOwn(step, change);
    case "ask":
      return { ...step, yes: change(step.yes), no: change(step.no) };
    case "confirm":
      return step.otherwise ? { ...step, otherwise: change(step.otherwise) } : step;
  }
}

/** The same of all steps of a protocol, wherever they stand. */
export function changeSteps<P extends ProtocolSteps>(protocol: P, change: ChangeList): P {
  return {
    ...protocol,
    ...(protocol.steps && { steps: change(protocol.steps) }),
    throughout: protocol.throughout.map((one) => changeOwn(one, change)),
    emergencies: protocol.emergencies.map((one) => changeOwn(one, change)),
  };
}

type ChangeList = (steps: readonly Step[]) => readonly Step[];
type ProtocolSteps = Pick<Protocol, "steps" | "throughout" | "emergencies">;

function changeOwn<T extends { readonly steps: readonly Step[] }>(of: T, change: ChangeList): T {
  return { ...of, steps: change(of.steps) };
}

/** Every step of the protocol: its own, those of `throughout` and those of its emergencies. */
export function* allSteps(protocol: ProtocolSteps): Generator<Step> {
  yield* stepsWithin(protocol.steps ?? []);
  for (const handler of protocol.throughout) yield* stepsWithin(handler.steps);
  for (const emergency of protocol.emergencies) yield* stepsWithin(emergency.steps);
}

/** Every handler of the protocol: those of `throughout`, and those of its stages wherever they are. */
export function allHandlers(protocol: Protocol): Handler[] {
  const inStages = [...allSteps(protocol)].flatMap((step) => (step.kind === "stage" ? step.handlers : []));
  return [...protocol.throughout, ...inStages];
}

/** Whether some step leads to an emergency. */
export function isEntered({ name }: Emergency, protocol: Protocol): boolean {
  return [...allSteps(protocol)].some((step) => step.kind === "go-to-emergency" && step.emergency === name);
}

/** The dose that a step gives; undefined of any other step, and where its name is not known. */
export function doseGivenBy(step: Step, { doses }: Pick<Protocol, "doses">): Dose | undefined {
  return "dose" in step ? doses.find(({ name }) => name === step.dose) : undefined;
}

/** The doses of the protocol itself, without those of its emergencies. */
export function ownDoses({ doses }: Pick<Protocol, "doses">): Dose[] {
  return doses.filter(({ emergency }) => emergency === undefined);
}

/** The agents that doses, adjuvants and preparation name, each once, in the order of the text. */
export function agentsOf(protocol: Protocol): Agent[] {
  const inDoses = protocol.doses.flatMap((dose) => [dose.agent, ...dose.adjuvants.map(({ agent }) => agent)]);
  const atHand = (protocol.preparation?.items ?? []).flatMap((item) =>
    item.kind === "at-hand" ? item.agents : [],
  );
  const agents = [...inDoses, ...atHand].filter((agent) => agent !== undefined);
  return [...new Set(agents)];
}

/** Whether an agent is the drug of that name, in either of two spellings, or by its ATC code. */
export function isAgent(agent: Agent | undefined, name: string, atc: string): boolean {
  if (!agent) return false;
  return canonicalName(agent.name) === name || agent.atc?.value.toUpperCase() === atc;
}
