import {
  type Automaton,
  type ClockCondition,
  type Condition,
  EVERY_CUFF,
  firstState,
  movesOf,
  type State,
  slotsOf,
  type Test,
  testOf,
} from "@limbwright/shared/runtime";
import type { DraftEdge } from "./draft.ts";
import {
  all,
  any,
  CUFF_TEST_TIME,
  CUFFS_TESTED,
  CUFFS_TESTED_VARIABLE,
  DRUG_GIVEN,
  FLAT_TIME,
  INFLATED,
  isFlat,
  LEAKED,
  noneUp,
  not,
  OCCLUSION,
  set,
  someUp,
} from "./facts.ts";
import { type Effect, joinEffects, passMoment } from "./moments.ts";
import type { Building } from "./place.ts";

/**
 * A short test of the cuffs before anything is injected is no occlusion: where all of them are down again soon after the first came
 * up, occlusion counts anew from the next inflation. Tests after one another are one, unless no cuff was up for a while between them.
 * All else counts on: what was up for long, and whatever comes after an injection.
 *
 * It is done when all edges are known, and only where some run lets all cuffs down before an injection and brings one up again.
 */
export function countCuffTests(building: Building, initial: number): void {
  const { draft } = building;
  const { deflations, inflations, again } = testsIn(building, initial);
  if (deflations.size === 0 || again.size === 0) return;
  draft.addVariable(CUFFS_TESTED_VARIABLE);
  for (const number of deflations) {
    const edge = draft.edges[number];
    if (edge) draft.splitEdge(number, splitDeflation(building, edge));
  }
  for (const number of inflations) {
    draft.addEffect(number, { set: [], reset: [{ clock: CUFF_TEST_TIME, when: not(INFLATED) }] });
  }
  for (const number of again) {
    const edge = draft.edges[number];
    if (edge) draft.splitEdge(number, splitInflation(building, edge));
  }
}

/** Letting the last cuff down ends a test, or an occlusion that was too long for one. */
function splitDeflation(building: Building, edge: DraftEdge): [DraftEdge, ...DraftEdge[]] {
  const ends = endsOcclusion(building, edge);
  const { cuffTestTime: seconds } = building.timing;
  const tested = (to: number): Effect => ({ set: [set(CUFFS_TESTED.variable, to)], reset: [] });
  const clock = CUFF_TEST_TIME;
  return [
    narrowed(edge, not(ends)),
    grown(narrowed(edge, ends, { clock, is: "under", seconds }), tested(1)),
    grown(narrowed(edge, ends, { clock, is: "at-least", seconds }), tested(0)),
  ];
}

/** After a test occlusion counts anew; after a pause another test may begin as well. */
function splitInflation(building: Building, edge: DraftEdge): [DraftEdge, ...DraftEdge[]] {
  const { timing, setting } = building;
  const afterTest = all(CUFFS_TESTED, beginsBeforeInjection(setting.cuffs));
  const anew = joinEffects(
    { set: [set(CUFFS_TESTED.variable, 0)], reset: [{ clock: OCCLUSION }] },
    passMoment("first inflation", setting.counted),
  );
  const clock = FLAT_TIME;
  const seconds = timing.cuffTestPause;
  return [
    narrowed(edge, not(afterTest)),
    grown(narrowed(edge, afterTest, { clock, is: "under", seconds }), anew),
    grown(
      narrowed(edge, afterTest, { clock, is: "at-least", seconds }),
      joinEffects(anew, { set: [], reset: [{ clock: CUFF_TEST_TIME }] }),
    ),
  ];
}

/** Before anything is injected no cuff stays up; one that has leaked is let down as well. */
function endsOcclusion({ setting: { cuffs } }: Building, edge: DraftEdge): Condition {
  const deflated = cuffsOf(edge, cuffs);
  const others = cuffs.filter((cuff) => !deflated.includes(cuff)).map(isFlat);
  return all(INFLATED, not(DRUG_GIVEN), any(someUp(deflated), LEAKED), ...others);
}

/** Before anything is injected a cuff comes up that is not the first, while none is up. */
function beginsBeforeInjection(cuffs: readonly string[]): Condition {
  return all(INFLATED, not(DRUG_GIVEN), noneUp(cuffs));
}

function narrowed(edge: DraftEdge, when: Condition, ...guard: readonly ClockCondition[]): DraftEdge {
  return {
    ...edge,
    when: edge.when ? all(edge.when, when) : when,
    ...(guard.length > 0 && { guard: [...(edge.guard ?? []), ...guard] }),
  };
}

function grown(edge: DraftEdge, { set: more, reset }: Effect): DraftEdge {
  return { ...edge, set: [...(edge.set ?? []), ...more], reset: [...(edge.reset ?? []), ...reset] };
}

/** The edges that make up tests, as numbers of the draft. */
interface Tests {
  /** They let down the last cuff. */
  readonly deflations: ReadonlySet<number>;
  /** They bring cuffs up. */
  readonly inflations: ReadonlySet<number>;
  /** Of these, the ones that come after such a deflation. */
  readonly again: ReadonlySet<number>;
}

/** Goes through whatever may come before an injection, apart from time. */
function testsIn(building: Building, initial: number): Tests {
  const { draft, setting } = building;
  const found = noTests();
  const slots = slotsOf(draft.variables);
  const test = (condition: Condition) => testOf(condition, slots);
  const ends = draft.edges.map((edge) =>
    letsCuffsDown(edge) ? test(endsOcclusion(building, edge)) : undefined,
  );
  if (ends.every((one) => one === undefined)) return found;
  const bringsUp = draft.edges.map(bringsCuffsUp);
  const beginsAgain = test(beginsBeforeInjection(setting.cuffs));
  const isOpen = test(not(DRUG_GIVEN));
  for (const taken of movesWhile(building, initial, isOpen)) {
    if (taken === "too many") return noTests();
    const [state, edge] = taken;
    if (ends[edge]?.(state)) found.deflations.add(edge);
    if (bringsUp[edge]) found.inflations.add(edge);
    if (bringsUp[edge] && beginsAgain(state)) found.again.add(edge);
  }
  return found;
}

function noTests() {
  return { deflations: new Set<number>(), inflations: new Set<number>(), again: new Set<number>() };
}

function letsCuffsDown({ kind, step }: DraftEdge): boolean {
  return kind === "start" && step?.kind === "deflate";
}

function bringsCuffsUp({ kind, step }: DraftEdge): boolean {
  return kind === "end" && (step?.kind === "inflate" || (step?.kind === "deflate" && step.for !== undefined));
}

function cuffsOf({ step }: DraftEdge, cuffs: readonly string[]): readonly string[] {
  return step?.cuff === EVERY_CUFF ? cuffs : cuffs.filter((cuff) => cuff === step?.cuff);
}

/** More states than these are not gone through: nothing is said to be a test there, and occlusion counts on. */
const MOST_STATES = 20_000;

/** Every edge that may be taken while something is open, with the state it is taken in. */
function* movesWhile(
  { draft }: Building,
  initial: number,
  isOpen: Test,
): Generator<readonly [state: State, edge: number] | "too many"> {
  const automaton: Automaton = {
    initial,
    clocks: [],
    variables: draft.variables,
    locations: draft.locations.map(({ name, kind, phase }) => ({ name, kind, phase })),
    edges: draft.edges.map(({ origin: _, checks: __, ...edge }) => edge),
    checks: [],
  };
  const movesAt = movesOf(automaton);
  const waiting = [firstState(automaton)];
  const seen = new Set(waiting.map((state) => state.join()));
  for (let state = waiting.pop(); state; state = waiting.pop()) {
    if (seen.size > MOST_STATES) yield "too many";
    if (!isOpen(state)) continue;
    for (const { edge, next } of movesAt(state).moves) {
      yield [state, edge];
      const key = next.join();
      if (!seen.has(key)) waiting.push(next);
      seen.add(key);
    }
  }
}
