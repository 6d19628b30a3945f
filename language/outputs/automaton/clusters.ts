import { type Automaton, isStepClock, type Limit } from "@limbwright/shared/runtime";
import type { LocationGroup, TracedAutomaton } from "../../runs/index.ts";

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
export function clustersOf({
  automaton,
  groups,
}: Pick<TracedAutomaton, "automaton" | "groups">): readonly Cluster[] {
  const plan = {
    kind: "plan",
    says: "steps",
    locations: automaton.locations.flatMap(({ phase }, at) => (phase === "plan" ? [at] : [])),
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

export function isSame(a: Limit, b: Limit): boolean {
  return a.clock === b.clock && a.seconds === b.seconds;
}
