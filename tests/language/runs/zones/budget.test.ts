import { expect, test } from "vitest";
import { explore } from "../../../../language/runs/zones/explore.ts";
import { findStuck } from "../../../../language/runs/zones/stuck.ts";
import { fischer } from "./models/fischer.ts";

/** Far more zones than anyone waits for. */
const HUGE = fischer(12);

test("a system built to explode ends out of budget, with no more nodes than allowed", () => {
  const found = explore(HUGE, { extrapolation: "maximal", mostNodes: 2_000 });
  expect(found).toMatchObject({ end: "out-of-budget", limit: "nodes" });
  expect(found.nodeCount).toBeLessThanOrEqual(2_001);
  expect(found.states.size).toBeGreaterThan(100);
});

test("the same number of nodes gives the same answer each time", () => {
  const [first, second] = [1, 2].map(() => explore(HUGE, { extrapolation: "lower-upper", mostNodes: 500 }));
  expect(first?.transitions).toBe(second?.transitions);
  expect([...(first?.states ?? [])]).toEqual([...(second?.states ?? [])]);
});

test("the memory of zones is bounded", () => {
  const found = explore(HUGE, { extrapolation: "maximal", mostMegabytes: 1 });
  expect(found).toMatchObject({ end: "out-of-budget", limit: "megabytes" });
  expect(found.nodeCount).toBeLessThan(100_000);
});

test("whether it is cancelled is asked every thousand transitions or so, and then it stops", () => {
  let edges = 0;
  let sinceAsked = 0;
  let longest = 0;
  let asked = 0;
  const found = explore(HUGE, {
    extrapolation: "lower-upper",
    onEdge: () => {
      edges += 1;
      sinceAsked += 1;
      longest = Math.max(longest, sinceAsked);
    },
    isCancelled: () => {
      asked += 1;
      sinceAsked = 0;
      return asked === 10;
    },
  });
  expect(found.end).toBe("cancelled");
  expect(asked).toBe(10);
  expect(sinceAsked).toBe(0);
  expect(found.transitions).toBe(edges);
  expect(longest).toBeLessThan(2_000);
});

test("the search for stuck states is cancelled too, and out of budget it says what it found so far", () => {
  expect(findStuck(HUGE, { isCancelled: () => true })).toMatchObject({ end: "cancelled", stuck: [] });
  expect(findStuck(HUGE, { mostNodes: 300 })).toMatchObject({ end: "out-of-budget", limit: "nodes" });
});
