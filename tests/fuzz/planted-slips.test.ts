import { expect, test } from "vitest";
import { percent, sharesReportedNear, together } from "./reported-near.ts";

test("of a hundred planted slips nine in ten have all their errors on the line or beside it", () => {
  const shares = sharesReportedNear(10, 1);
  expect(together(shares).reported).toBeGreaterThan(80);
  expect(percent(together(shares))).toBeGreaterThanOrEqual(90);
});
