import type { Automaton, ClockCondition, Limit, Reset } from "@limbwright/shared/runtime";

export interface WithoutTwins {
  readonly automaton: Automaton;
  /** The clock that shows the time of another; the other itself where it is kept. */
  readonly clockFor: (clock: string) => string;
}

/**
 * Clocks that are always reset together show the same time: one of them stands for all. Clocks that nothing
 * asks are left out, but for those that are `wanted`.
 */
export function withoutTwins(automaton: Omit<Automaton, "clocks">, wanted: readonly string[]): WithoutTwins {
  const kept = standIns(automaton, wanted);
  const clockKeptFor = (clock: string) => kept.get(clock) ?? clock;
  const limits = <T extends Limit>(list: readonly T[]): T[] =>
    list.map((one) => ({ ...one, clock: clockKeptFor(one.clock) }));
  const clocks = [...new Set([...wanted, ...collectAskedClocks(automaton)].map(clockKeptFor))].sort();
  const resets = (list: readonly Reset[]) =>
    list.filter(({ clock }) => clockKeptFor(clock) === clock && clocks.includes(clock));
  const lean: Automaton = {
    ...automaton,
    clocks,
    locations: automaton.locations.map((location) =>
      location.atMost ? { ...location, atMost: limits(location.atMost) } : location,
    ),
    edges: automaton.edges.map(({ guard, reset, ...edge }) => {
      const left = reset ? resets(reset) : [];
      return {
        ...edge,
        ...(guard && { guard: limits<ClockCondition>(guard) }),
        ...(left.length > 0 && { reset: left }),
      };
    }),
    checks: automaton.checks.map((check) =>
      check.clocks ? { ...check, clocks: limits<ClockCondition>(check.clocks) } : check,
    ),
  };
  return { automaton: lean, clockFor: clockKeptFor };
}

/** For each clock one of those that are reset by the same edges under the same conditions: a wanted one first. */
function standIns({ edges }: Omit<Automaton, "clocks">, wanted: readonly string[]): Map<string, string> {
  const resets = new Map<string, string[]>();
  edges.forEach(({ reset = [] }, at) => {
    for (const { clock, when } of reset) {
      resets.set(clock, [...(resets.get(clock) ?? []), `${at} ${JSON.stringify(when)}`]);
    }
  });
  const bySignature = new Map<string, string>();
  const found = new Map<string, string>();
  const others = [...resets.keys()].filter((clock) => !wanted.includes(clock)).sort();
  for (const clock of [...wanted, ...others]) {
    const signature = (resets.get(clock) ?? []).join("|");
    const first = bySignature.get(signature) ?? clock;
    bySignature.set(signature, first);
    found.set(clock, first);
  }
  return found;
}

function collectAskedClocks({ locations, edges, checks }: Omit<Automaton, "clocks">): Set<string> {
  const limits: Limit[] = [
    ...locations.flatMap(({ atMost = [] }) => atMost),
    ...edges.flatMap(({ guard = [] }) => guard),
    ...checks.flatMap(({ clocks = [] }) => clocks),
  ];
  return new Set(limits.map(({ clock }) => clock));
}
