import { type Condition, EVERY_CUFF, wordsOfLeak } from "@limbwright/shared/runtime";
import { checksAt } from "./checks.ts";
import { goingFlat } from "./effects.ts";
import { all, isUp, LEAKED, not, set, someUp } from "./facts.ts";
import { LEAK_OF_ALL, LEAK_WAITS } from "./leak-facts.ts";
import type { Building, Scope } from "./place.ts";

/**
 * A cuff loses its pressure at any moment of the plan or of a handler, once in a run. It is an edge of its own; the handler that
 * answers it is due at once, or when another has run.
 */
export function buildLeaks(building: Building, plan: Scope): void {
  const { draft, setting, leaks, bodies, protocol } = building;
  if (!leaks) return;
  const from = [
    ...plan.during,
    ...bodies.filter(({ phase }) => phase === "handler").flatMap(({ scope }) => scope.during),
  ];
  const { cuffs } = setting;
  const choices: { cuff: string; leaking: readonly string[]; waits: number; when: Condition }[] =
    leaks === "both"
      ? [{ cuff: EVERY_CUFF, leaking: cuffs, waits: LEAK_OF_ALL, when: someUp(cuffs) }]
      : cuffs.map((cuff, at) => ({ cuff, leaking: [cuff], waits: at + 2, when: isUp(cuff) }));
  for (const { cuff, leaking, waits, when } of choices) {
    const flat = goingFlat(leaking, setting);
    const instant = { kind: "leak", cuffs: leaking, phase: "plan" } as const;
    draft.addEdge({
      kind: "leak",
      says: wordsOfLeak(cuff),
      cuff,
      from,
      to: "same",
      when: all(not(LEAKED), when),
      set: [set("leaked", 1), set(LEAK_WAITS, waits), ...flat.set],
      reset: flat.reset,
      checks: checksAt(building, instant, protocol.cuffs?.origin ?? protocol.nameOrigin),
      decision: true,
    });
  }
}
