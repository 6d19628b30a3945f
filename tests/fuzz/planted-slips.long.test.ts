import { describe, expect, test } from "vitest";
import { seeds } from "../questions.ts";
import { percent, sharesReportedNear, together } from "./reported-near.ts";

const SEEDS = seeds(150);
/** Of few slips chance decides more, so less is asked of them: how many are reported, and how many of these near, in per cent. */
const LEAST =
  SEEDS.length === 150 ? { reported: 60, near: 80, together: 95 } : { reported: 25, near: 50, together: 85 };

describe("planted slips", () => {
  const shares = sharesReportedNear(SEEDS);
  for (const share of [...shares, together(shares)]) {
    console.info(`${share.slip}: ${share.near} of ${share.reported} near, ${percent(share).toFixed(1)} %`);
  }

  test.each(shares)(`$slip: ${LEAST.near} % are reported near their line, and only there`, (share) => {
    expect((100 * share.reported) / SEEDS.length).toBeGreaterThan(LEAST.reported);
    expect(percent(share)).toBeGreaterThanOrEqual(LEAST.near);
  });

  test(`of all of them ${LEAST.together} %`, () => {
    expect(percent(together(shares))).toBeGreaterThanOrEqual(LEAST.together);
  });
});
