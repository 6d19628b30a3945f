import { describe, expect, test } from "vitest";
import { seeds } from "../questions.ts";
import { percent, sharesReportedNear, together } from "./reported-near.ts";

describe("planted slips", () => {
  const shares = sharesReportedNear(seeds(150));
  for (const share of [...shares, together(shares)]) {
    console.info(`${share.slip}: ${share.near} of ${share.reported} near, ${percent(share).toFixed(1)} %`);
  }

  test.each(shares)("$slip: four in five are reported near their line, and only there", (share) => {
    expect(share.reported).toBeGreaterThan(100);
    expect(percent(share)).toBeGreaterThanOrEqual(80);
  });

  test("of all of them nineteen in twenty", () => {
    expect(percent(together(shares))).toBeGreaterThanOrEqual(95);
  });
});
