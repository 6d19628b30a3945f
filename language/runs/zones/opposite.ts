import type { Constraint } from "./timed-system.ts";

const OPPOSITE = { "at-most": "over", over: "at-most", "at-least": "under", under: "at-least" } as const;

/** Holds exactly when the condition does not. */
export function opposite({ clock, kind, limit }: Constraint): Constraint {
  return { clock, kind: OPPOSITE[kind], limit };
}
