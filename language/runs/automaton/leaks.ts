import { type Condition, EVERY_CUFF, wordsOfLeak } from "@limbwright/shared/runtime";
import { checksAt } from "./checks.ts";
import { goingFlat } from "./effects.ts";
import { all, isUp, LEAKED, leavesNoneUp, not, set, someUp } from "./facts.ts";
import {
  asksForDecision,
  INJECTION_STOPPED,
  LEAK_OF_ALL,
  LEAK_RELEASED,
  LEAK_WAITS,
  mayInjectAgain,
  namesLeakOf,
} from "./leak-facts.ts";
import { changing, joinEffects } from "./moments.ts";
import type { Building, Injection, Scope } from "./place.ts";

/**
 * A cuff loses its pressure at any moment of the plan or of a handler, once in a run. It is an edge of its own; the handler that
 * answers it is due at once, or when another has run. An injection that is going on ends with it: what is left in the syringe is not
 * given, unless a later step gives it.
 */
export function buildLeaks(building: Building, plan: Scope): void {
  const { draft, setting, leaks, bodies, protocol } = building;
  if (!leaks) return;
  const from = [
    ...plan.during,
    ...bodies.filter(({ phase }) => phase === "handler").flatMap(({ scope }) => scope.during),
  ];
  const { cuffs } = setting;
  // Where every answer is for any cuff, nobody asks which one leaked.
  const isToldApart = cuffs.some((cuff) => namesLeakOf(cuff, protocol));
  const choices: { cuff: string; leaking: readonly string[]; waits: number; when: Condition }[] =
    leaks === "both"
      ? [{ cuff: EVERY_CUFF, leaking: cuffs, waits: LEAK_OF_ALL, when: someUp(cuffs) }]
      : cuffs.map((cuff, at) => ({
          cuff,
          leaking: [cuff],
          waits: isToldApart ? at + 2 : LEAK_OF_ALL,
          when: isUp(cuff),
        }));
  const injections = building.injections.filter(({ during }) => from.includes(during));
  const interruptible = injections.filter(({ isInterruptible }) => isInterruptible);
  const isInterrupted = { interrupted: interruptible.map(({ during }) => during) };
  const stopped = interruptible.length > 0 ? [set(INJECTION_STOPPED.variable, 1, isInterrupted)] : [];
  // Where nothing may be injected again there is nothing to decide, and runs that differ in it alone are one.
  const undecided = mayInjectAgain(protocol) ? [asksForDecision()] : [];
  for (const injection of interruptible) addStop(building, injection);
  const elsewhere = from.filter((at) => !injections.some(({ during }) => during === at));
  for (const { cuff, leaking, waits, when } of choices) {
    const flat = goingFlat(leaking, setting);
    const instant = { kind: "leak", cuffs: leaking, phase: "plan" } as const;
    const leak = {
      kind: "leak",
      says: wordsOfLeak(cuff),
      cuff,
      when: all(not(LEAKED), when),
      checks: checksAt(building, instant, protocol.cuffs?.origin ?? protocol.nameOrigin),
      decision: true,
    } as const;
    const released = set(LEAK_RELEASED, 1, leavesNoneUp(leaking, cuffs));
    const noted = [set("leaked", 1), set(LEAK_WAITS, waits), released, ...undecided, ...stopped];
    const effect = { ...flat, set: [...noted, ...flat.set] };
    draft.addEdge({ ...leak, from: elsewhere, to: "same", ...effect });
    for (const { during, after, atEnd } of injections) {
      draft.addEdge({ ...leak, from: [during], to: after, ...joinEffects(effect, atEnd) });
    }
  }
}

/** An injection that a handler has interrupted, and a leak since, is over when the handler is. */
function addStop({ draft }: Building, { says, step, during, after, atEnd, origin }: Injection): void {
  const over = joinEffects(changing(set(INJECTION_STOPPED.variable, 0)), atEnd);
  draft.addEdge({
    kind: "end",
    says,
    step,
    from: [during],
    to: after,
    when: INJECTION_STOPPED,
    ...over,
    due: true,
    origin,
  });
}
