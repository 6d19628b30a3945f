import { secondsText } from "@limbwright/shared/quantity";
import { type Automaton, type Edge, isStepClock, type Limit, wordsOfStep } from "@limbwright/shared/runtime";
import type { LocationGroup, TracedAutomaton } from "../../runs/index.ts";
import { conditionText, guardText, lastingText, limitText } from "./words.ts";

/** An automaton as it is drawn: what takes no time and has one way on is part of an arrow. */
export interface Drawing {
  /** By location, in the order of a run. */
  readonly nodes: ReadonlyMap<number, DrawnNode>;
  readonly arrows: readonly Arrow[];
  readonly clusters: readonly Cluster[];
  /** What may happen at any moment in a frame and leads nowhere else. */
  readonly notes: ReadonlyMap<Cluster, readonly string[]>;
}

export interface DrawnNode {
  readonly kind: "step" | "choice" | "end";
  readonly label: readonly string[];
}

export interface Arrow {
  readonly kind: "next" | "event" | "return";
  /** Undefined for the arrow that shows where a run begins. */
  readonly from?: Anchor;
  readonly to: Anchor;
  readonly label: readonly string[];
}

/** A node, or a whole frame. */
export type Anchor = number | Cluster;

export function drawingOf(traced: Pick<TracedAutomaton, "automaton" | "groups">): Drawing {
  const { automaton } = traced;
  const clusters = clustersOf(traced);
  const sketch: Sketch = { automaton, clusters, ways: waysFrom(automaton), notes: new Map() };
  const nodes = new Map(
    automaton.locations.flatMap(({ kind }, at): [number, DrawnNode][] =>
      isDrawn(at, sketch)
        ? [[at, { kind: KINDS[kind], label: locationLabel(at, automaton, limitsAround(at, clusters)) }]]
        : [],
    ),
  );
  const first = followOnward(automaton.initial, sketch);
  const arrows: Arrow[] = [
    ...first.to.map((to): Arrow => ({ kind: "next", to, label: first.label })),
    ...automaton.edges.flatMap((edge) => arrowsOf(edge, sketch)),
  ];
  const order = inOrderOfARun(arrows);
  const places = new Map(order.map((at, place) => [at, place]));
  const placeOf = (anchor: Anchor | undefined) =>
    anchor === undefined ? -1 : (places.get(stepOf(anchor)) ?? order.length);
  return {
    nodes: new Map([...nodes].sort(([a], [b]) => placeOf(a) - placeOf(b))),
    arrows: [...arrows].sort((a, b) => placeOf(a.from) - placeOf(b.from)),
    clusters,
    notes: sketch.notes,
  };
}

/** The step at which an arrow is drawn: of a frame the first, which is built last. */
export function stepOf(anchor: Anchor): number {
  return typeof anchor === "object" ? (anchor.during.at(-1) ?? 0) : anchor;
}

/** The nodes as a run that nothing interrupts comes to them, then those of what may interrupt it. */
function inOrderOfARun(arrows: readonly Arrow[]): number[] {
  const found = new Set<number>();
  const visit = (at: number) => {
    if (found.has(at)) return;
    found.add(at);
    const next = arrows.filter(({ kind, from }) => kind === "next" && from === at);
    for (const { to } of next) visit(stepOf(to));
  };
  for (const { from, to } of arrows) if (from === undefined) visit(stepOf(to));
  for (const { kind, to } of arrows) if (kind === "event") visit(stepOf(to));
  return [...found];
}

const KINDS = { during: "step", before: "choice", end: "end" } as const;

interface Sketch {
  readonly automaton: Automaton;
  readonly clusters: readonly Cluster[];
  /** By location, the edges that lead from it alone. */
  readonly ways: readonly (readonly Edge[])[];
  readonly notes: Map<Cluster, string[]>;
}

function waysFrom({ locations, edges }: Automaton): Edge[][] {
  const ways: Edge[][] = locations.map(() => []);
  for (const edge of edges) {
    if (!isOfMany(edge)) for (const from of edge.from) ways[from]?.push(edge);
  }
  return ways;
}

/** What may happen anywhere in a frame is drawn from the frame. */
function isOfMany({ kind, due }: Edge): boolean {
  return kind === "event" || kind === "leak" || due === true;
}

function isDrawn(at: number, { automaton, ways }: Sketch): boolean {
  return automaton.locations[at]?.kind !== "before" || ways[at]?.length !== 1;
}

function limitsAround(at: number, clusters: readonly Cluster[]): Cluster["atMost"] {
  const around = clusters.find(({ locations }) => locations.has(at));
  return around ? [...around.atMost, ...limitsAround(at, around.inner)] : [];
}

function arrowsOf(edge: Edge, sketch: Sketch): Arrow[] {
  const sources = isOfMany(edge)
    ? anchorsOf(placesOf(edge, sketch), sketch)
    : edge.from.filter((from) => isDrawn(from, sketch));
  if (sources.length === 0) return [];
  const label = edgeLabel(edge, sketch.automaton);
  if (edge.to === "same") {
    for (const source of sources) {
      if (typeof source === "object")
        sketch.notes.set(source, [...(sketch.notes.get(source) ?? []), label.join(", ")]);
    }
    return [];
  }
  const target = edge.to === "interrupted" ? { to: [], label: [] } : followOnward(edge.to, sketch);
  const kind = isOfMany(edge) ? "event" : target.isReturn ? "return" : "next";
  return sources.flatMap((from) =>
    target.to
      .filter((to) => to !== from)
      .map((to): Arrow => ({ kind, from, to, label: [...label, ...target.label] })),
  );
}

/** A leak strikes wherever its cuff leaks; that it ends an injection there is drawn as well. */
function placesOf({ kind, cuff, to, from }: Edge, { automaton }: Sketch): readonly number[] {
  if (kind !== "leak" || to !== "same") return from;
  return automaton.edges
    .filter((other) => other.kind === "leak" && other.cuff === cuff)
    .flatMap((other) => other.from);
}

interface Onward {
  readonly to: readonly Anchor[];
  readonly label: readonly string[];
  readonly isReturn?: boolean;
}

/** Where a run is next that comes to a location: there, or, where no time passes and one way leads on, along it. */
function followOnward(at: number, sketch: Sketch, passed: readonly number[] = []): Onward {
  const [way] = sketch.ways[at] ?? [];
  if (isDrawn(at, sketch) || !way || passed.includes(at)) return { to: [at], label: [] };
  const label = edgeLabel(way, sketch.automaton);
  if (way.to === "interrupted") return { to: anchorsInterrupted(at, sketch), label, isReturn: true };
  const next = followOnward(way.to === "same" ? at : way.to, sketch, [...passed, at]);
  return { ...next, label: [...label, ...next.label] };
}

/** What the handler whose body holds a location may have interrupted. */
function anchorsInterrupted(at: number, sketch: Sketch): Anchor[] {
  const body = sketch.clusters.find(({ kind, locations }) => kind === "handler" && locations.has(at));
  const entering = sketch.automaton.edges.filter(
    ({ interrupts, to }) => interrupts && typeof to === "number" && body?.locations.has(to),
  );
  return [...new Set(entering.flatMap(({ from }) => anchorsOf(from, sketch)))];
}

/** The frames that some locations fill, and the single nodes that are left. */
function anchorsOf(from: readonly number[], sketch: Sketch): Anchor[] {
  const { automaton } = sketch;
  const left = new Set(from.filter((at) => automaton.locations[at]?.kind === "during"));
  const frames = framesFilledBy(left, sketch.clusters);
  for (const { during } of frames) for (const at of during) left.delete(at);
  return [...frames, ...left];
}

function framesFilledBy(locations: ReadonlySet<number>, clusters: readonly Cluster[]): Cluster[] {
  return clusters.flatMap((cluster) => {
    const { during, inner } = cluster;
    if (during.length === 0) return [];
    const within = framesFilledBy(locations, inner);
    const isWhole = during.every((at) => locations.has(at));
    const isOneInside = within.length === 1 && within[0]?.during.length === during.length;
    return isWhole && !isOneInside ? [cluster] : within;
  });
}

/** A frame of the picture: the steps of the plan, a stage, what a handler does, an emergency. */
export interface Cluster {
  readonly kind: "plan" | LocationGroup["kind"];
  readonly says: string;
  readonly locations: ReadonlySet<number>;
  /** Where something is in hand. */
  readonly during: readonly number[];
  /** The longest times that hold for all of it, beyond those of the frame around it. */
  readonly atMost: readonly Limit[];
  readonly inner: readonly Cluster[];
}

/** The frames that stand side by side, each with those inside it. */
function clustersOf({
  automaton,
  groups,
}: Pick<TracedAutomaton, "automaton" | "groups">): readonly Cluster[] {
  const inEmergency = new Set(
    groups.filter(({ kind }) => kind === "emergency").flatMap(({ locations }) => locations),
  );
  const isOfSteps = (at: number) => automaton.locations[at]?.phase === "plan" && !inEmergency.has(at);
  const plan = {
    kind: "plan",
    says: "steps",
    locations: [...automaton.locations.keys()].filter(isOfSteps),
  } as const;
  return nestGroups([plan, ...groups], automaton, []);
}

type Group = Pick<Cluster, "kind" | "says"> & { readonly locations: readonly number[] };

/** Puts each group into the smallest that holds all of it. */
function nestGroups(groups: readonly Group[], automaton: Automaton, outer: readonly Limit[]): Cluster[] {
  const sizes = [...groups].sort((a, b) => b.locations.length - a.locations.length);
  const outermost: { readonly group: Group; readonly within: Group[] }[] = [];
  for (const group of sizes) {
    const around = outermost.find(({ group: other }) => isWithin(group, other));
    if (around) around.within.push(group);
    else outermost.push({ group, within: [] });
  }
  return outermost.map(({ group, within }) => {
    const during = group.locations.filter((at) => automaton.locations[at]?.kind === "during");
    const limits = commonLimits(during, automaton);
    return {
      ...group,
      locations: new Set(group.locations),
      during,
      atMost: limits.filter((limit) => !outer.some((other) => isSame(limit, other))),
      inner: nestGroups(within, automaton, limits),
    };
  });
}

function isWithin({ locations }: Group, other: Group): boolean {
  const all = new Set(other.locations);
  return locations.length > 0 && locations.every((at) => all.has(at));
}

function commonLimits(during: readonly number[], { locations }: Automaton): Limit[] {
  const limits = (at: number) => locations[at]?.atMost ?? [];
  const [first, ...others] = during;
  if (first === undefined) return [];
  return limits(first).filter(
    (limit) =>
      !isStepClock(limit.clock) && others.every((at) => limits(at).some((other) => isSame(limit, other))),
  );
}

function isSame(a: Limit, b: Limit): boolean {
  return a.clock === b.clock && a.seconds === b.seconds;
}

/** What stands in a node: the step, and how long it is in hand. `around` are limits that its frame shows. */
function locationLabel(at: number, automaton: Automaton, around: readonly Limit[]): string[] {
  const location = automaton.locations[at];
  if (!location) return [];
  if (location.kind !== "during") return [choiceText(at, automaton)];
  const ends = automaton.edges.filter(
    ({ kind, due, from }) => kind === "end" && !due && from.length === 1 && from[0] === at,
  );
  const waits = ends.flatMap(({ guard = [] }) => guard);
  const until = waits.filter(({ clock }) => !isStepClock(clock));
  const others = (location.atMost ?? []).filter(
    (limit) => !isStepClock(limit.clock) && ![...around, ...until].some((other) => isSame(limit, other)),
  );
  return [location.name, timeText(location.atMost, waits, ends.length > 0), ...others.map(limitText)];
}

/** A choice is named by the step that it belongs to; the end of a stage is not the stage. */
function choiceText(at: number, { locations, edges }: Automaton): string {
  const ways = edges.filter(({ from }) => from.length === 1 && from[0] === at);
  const [{ step } = {}] = ways;
  const isEnd = ways.some(({ kind }) => kind === "end");
  return step && !isEnd ? wordsOfStep(step) : (locations[at]?.name ?? "");
}

function timeText(atMost: readonly Limit[] = [], waits: readonly Limit[], isEnding: boolean): string {
  if (!isEnding) return "for ever";
  const until = waits.filter(({ clock }) => !isStepClock(clock));
  if (until.length > 0)
    return until.map(({ clock, seconds }) => `until ${clock} is ${secondsText(seconds)}`).join(", ");
  const [shortest] = waits;
  const longest = atMost.find(({ clock }) => isStepClock(clock));
  return lastingText(shortest?.seconds ?? 0, longest?.seconds);
}

/** What stands at an arrow: what happens, when it may, and which clock begins with it. */
function edgeLabel(edge: Edge, automaton: Automaton): string[] {
  const { kind, guard = [], when, reset = [], from } = edge;
  const isFromStep = from.some((at) => automaton.locations[at]?.kind === "during");
  const asks = kind !== "reaches" && (edge.due || kind === "event" || !isFromStep);
  const starts = reset.filter((one) => !one.when && !isStepClock(one.clock) && !one.clock.startsWith("in "));
  return [
    happeningText(edge),
    asks && when ? conditionText(when, automaton) : "",
    ...(asks ? guard.map(guardText) : []),
    ...starts.map(({ clock }) => `${clock} from 0`),
  ].filter((words) => words !== "");
}

function happeningText({ kind, says, answer, due, step }: Edge): string {
  if (kind === "event" || kind === "reaches") return `when ${says}`;
  if (kind === "leak") return `at any moment: ${says}`;
  if (kind === "answer") return answer ?? says;
  if (kind !== "end" || !due) return "";
  return step?.kind === "inject" ? "a cuff leaked in a when" : "its time was over in a when";
}
