import { describe, expect, test } from "vitest";
import { numberFromEnvironment } from "../solver/random.ts";
import { percent, sharesReportedNear, together } from "./reported-near.ts";

const FIRST_SEED = numberFromEnvironment("FUZZ_SEED", 10_000);

describe(`planted slips, seeds from ${FIRST_SEED}`, () => {
  const shares = sharesReportedNear(150, FIRST_SEED);
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
