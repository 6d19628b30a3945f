import type { Automaton, ClockCondition, Limit, Reset } from "@limbwright/shared/runtime";

/**
 * Clocks that are always reset together show the same time: one of them stands for all. Clocks that nothing
 * asks are left out.
 */
export function withoutTwins(automaton: Omit<Automaton, "clocks">): Automaton {
  const kept = standIns(automaton);
  const asked = (clock: string) => kept.get(clock) ?? clock;
  const limits = <T extends Limit>(list: readonly T[]): T[] =>
    list.map((one) => ({ ...one, clock: asked(one.clock) }));
  const clocks = [...new Set([...askedClocks(automaton)].map(asked))].sort();
  const resets = (list: readonly Reset[]) =>
    list.filter(({ clock }) => asked(clock) === clock && clocks.includes(clock));
  return {
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
}

/** For each clock the first of those that are reset by the same edges under the same conditions. */
function standIns({ edges }: Omit<Automaton, "clocks">): Map<string, string> {
  const resets = new Map<string, string[]>();
  edges.forEach(({ reset = [] }, at) => {
    for (const { clock, when } of reset) {
      resets.set(clock, [...(resets.get(clock) ?? []), `${at} ${JSON.stringify(when)}`]);
    }
  });
  const bySignature = new Map<string, string>();
  const found = new Map<string, string>();
  for (const clock of [...resets.keys()].sort()) {
    const signature = (resets.get(clock) ?? []).join("|");
    const first = bySignature.get(signature) ?? clock;
    bySignature.set(signature, first);
    found.set(clock, first);
  }
  return found;
}

function askedClocks({ locations, edges, checks }: Omit<Automaton, "clocks">): Set<string> {
  const limits: Limit[] = [
    ...locations.flatMap(({ atMost = [] }) => atMost),
    ...edges.flatMap(({ guard = [] }) => guard),
    ...checks.flatMap(({ clocks = [] }) => clocks),
  ];
  return new Set(limits.map(({ clock }) => clock));
}
