import { expect, test } from "vitest";
import { explore } from "../../../../language/runs/zones/explore.ts";
import { fischer, isBroken } from "./models/fischer.ts";

/**
 * Zones stored and transitions taken on exploring the model in full, with local lower and upper bounds, as
 * counted by a published model checker for timed automata.
 */
const COUNTS = [
  { processes: 3, zones: 65, transitions: 126 },
  { processes: 4, zones: 220, transitions: 552 },
  { processes: 5, zones: 727, transitions: 2_290 },
  { processes: 6, zones: 2_378, transitions: 9_132 },
  { processes: 7, zones: 7_737, transitions: 35_266 },
  { processes: 8, zones: 25_080, transitions: 132_592 },
];

test.each(COUNTS)("Fischer's mutual exclusion with $processes processes has $zones zones", (counts) => {
  const { processes, zones, transitions } = counts;
  const found = explore(fischer(processes), { extrapolation: "lower-upper" });
  expect(found.end).toBe("complete");
  expect(found.nodeCount).toBe(zones);
  expect(found.transitions).toBe(transitions);
  expect([...found.states.keys()].filter((state) => isBroken(processes, state))).toEqual([]);
});
