import type { Step } from "../../language/model/index.ts";
import { isUp, type State, secondsOf } from "./protocol-state.ts";
import { flattened, type World } from "./protocol-world.ts";

/** The shortest and the longest time of a step in seconds; undefined: as long as it likes. */
export function lasts(of: World, step: Step): readonly [number, number | undefined] {
  const written = step.takes && ([step.takes.shortest.valueOf(), step.takes.longest?.valueOf()] as const);
  const { action, cuffAction } = of.limits;
  switch (step.kind) {
    case "inflate":
    case "confirm":
      return written ?? [0, cuffAction];
    case "deflate": {
      const flat = step.flatFor ? secondsOf(step.flatFor) : 0;
      return [flat, flat + cuffAction];
    }
    case "inject":
    case "give": {
      const over = of.protocol.doses.find(({ name }) => name === step.dose)?.over;
      return over ? [over.shortest.valueOf(), over.longest?.valueOf()] : [0, action];
    }
    case "exsanguinate":
      return step.duration
        ? [step.duration.shortest.valueOf(), step.duration.longest?.valueOf()]
        : [0, action];
    case "wait":
    case "watch":
    case "recovery":
      return [step.duration.shortest.valueOf(), step.duration.longest?.valueOf()];
    case "wait-for": {
      const least = of.protocol.timers.find(({ name }) => name === step.timer)?.atLeast;
      return least ? [secondsOf(least), secondsOf(least)] : [Number.POSITIVE_INFINITY, undefined];
    }
    case "task":
      return written ?? [0, undefined];
    default:
      return written ?? [0, action];
  }
}

/** What a step changes as it starts. */
export function effectAtStart(of: World, state: State, step: Step): void {
  const { facts, since } = state;
  switch (step.kind) {
    case "exsanguinate":
      if (step.method === "bandage") facts.bandage = 1;
      break;
    case "remove-cannula":
      facts.cannula = 0;
      break;
    case "give":
      facts.begun = 1;
      of.passes(state, `start of ${step.dose}`);
      break;
    case "inject":
      facts.begun = 1;
      facts.drug = 1;
      delete facts.deflations;
      delete since.hold;
      delete since["cuff test"];
      delete facts.tested;
      of.passes(state, `start of ${step.dose}`);
      break;
    case "deflate":
      if (step.forEmergency && state.phase === "emergency") facts["let go"] = 1;
      endsTest(of, state, of.chosen(step.cuffs));
      goesFlat(of, state, step);
  }
}

function goesFlat(of: World, state: State, { cuffs, flatFor }: Step & { readonly kind: "deflate" }): void {
  if (flatFor) for (const cuff of of.chosen(cuffs)) state.facts[`again ${cuff}`] = isUp(state, cuff) ? 1 : 0;
  losePressure(of, state, of.chosen(cuffs));
}

/** A cuff loses its pressure by itself: its answer is awaited, and more is injected by decision alone. */
export function leak(of: World, state: State, cuff: string): void {
  const { facts, interrupted } = state;
  facts.leaked = 1;
  facts["leak waits"] = of.cuffs.indexOf(cuff) + 1;
  if (of.cuffs.every((other) => other === cuff || !isUp(state, other))) facts["leak released"] = 1;
  if (facts.drug) facts.undecided = 1;
  if (interrupted?.inHand?.kind === "inject") facts.stopped = 1;
  losePressure(of, state, [cuff]);
}

function losePressure(of: World, state: State, cuffs: readonly string[]): void {
  const { facts, since } = state;
  const wasUp = of.anyUp(state);
  for (const cuff of cuffs) facts[`cuff ${cuff}`] = 0;
  if (!wasUp || of.anyUp(state)) return;
  since.flat = 0;
  facts.deflations = 1;
  if (!facts.bandage && !facts.drug) facts.emptied = 0;
  if (facts.drug !== 1) return;
  facts.drug = 2;
  of.passes(state, "release");
}

/** What a step changes as it ends. */
export function effectAtEnd(of: World, state: State, step: Step): void {
  const { facts } = state;
  switch (step.kind) {
    case "insert-cannula":
      facts.cannula = 1;
      break;
    case "exsanguinate":
      facts.emptied = 1;
      break;
    case "remove-bandage":
      facts.bandage = 0;
      break;
    case "inflate":
      comesUp(of, state, of.chosen(step.cuffs));
      break;
    case "deflate":
      if (step.flatFor)
        comesUp(
          of,
          state,
          of.chosen(step.cuffs).filter((cuff) => facts[`again ${cuff}`] === 1),
        );
      break;
    case "confirm":
      for (const cuff of of.chosen(step.cuffs)) if (isUp(state, cuff)) facts[`cuff ${cuff}`] = 2;
      break;
    case "inject":
      state.since.hold = 0;
      of.passes(state, `end of ${step.dose}`);
      break;
    case "give":
      of.passes(state, `end of ${step.dose}`);
      break;
    case "recovery":
      facts["in force"] = 0;
      break;
    case "task":
      if (isDecision(step)) delete facts.undecided;
      break;
  }
  noteForRequirements(of, state, step);
}

/** Whether somebody decides with it whether more is given: one answer gives more or leaves, and the other does not. */
export function isDecision(step: Step): boolean {
  if (step.kind === "task") return step.topic === "cuff-decision" || step.topic === "anaesthetic-decision";
  if (step.kind !== "ask") return false;
  const kinds = [step.yes, step.no].map((steps) => [...flattened(steps)].map(({ kind }) => kind));
  return ["inject", "finish", "end-stage", "go-to-emergency"].some(
    (kind) => kinds.filter((each) => each.some((one) => one === kind)).length === 1,
  );
}

/** An action that others wait for, or that answers one. */
function noteForRequirements(of: World, { facts, since }: State, step: Step): void {
  of.protocol.requirements.forEach(({ property }, at) => {
    if (property.kind !== "only-after" && property.kind !== "within") return;
    if (property.kind === "within" && of.does(step, property.action)) {
      delete since[`waits ${at}`];
    } else if (of.does(step, property.earlier)) {
      if (property.kind === "only-after") facts[`done ${at}`] = 1;
      else since[`waits ${at}`] ??= 0;
    }
  });
}

/** Before anything is injected: what was short is a test, and the next inflation is the first one anew. */
function endsTest(of: World, state: State, cuffs: readonly string[]): void {
  const { facts, since } = state;
  const isLast = of.cuffs.every((cuff) => cuffs.includes(cuff) || !isUp(state, cuff));
  const wasUp = facts.leaked === 1 || of.anyUp(state);
  if (facts.drug || since["first inflation"] === undefined || !isLast || !wasUp) return;
  if ((since["cuff test"] ?? 0) < of.limits.cuffTest) facts.tested = 1;
  else delete facts.tested;
}

function comesUp(of: World, state: State, cuffs: readonly string[]): void {
  const { facts, since } = state;
  const isFirst = since["first inflation"] === undefined;
  const followsTest = facts.tested === 1 && !facts.drug && !of.anyUp(state);
  if (isFirst || followsTest) {
    if (!facts.drug && (isFirst || (since.flat ?? 0) >= of.limits.cuffTestPause)) since["cuff test"] = 0;
    since["first inflation"] = 0;
    delete facts.tested;
  }
  for (const cuff of cuffs) if (!isUp(state, cuff)) facts[`cuff ${cuff}`] = 1;
  facts["in force"] = 1;
}
