import { join } from "node:path";
import { root } from "../../../.development/steps/files.mjs";
import { imported } from "../material/imported.mjs";
import { rounded, summary } from "../row.mjs";

const HOSPITAL = join(root, "examples/tarn-hollow");
const PAIRS = 100;
const RUNS = 3;

/** Comparing two versions of many protocols of 150 lines, beside checking both in the same process. */
export async function measure() {
  const { versions } = await imported("tests/bench/material/compare.ts");
  const { check, compare, lines } = versions(HOSPITAL, PAIRS);
  check();
  const checks = [];
  const comparisons = [];
  for (let run = 0; run < RUNS; run += 1) {
    checks.push(timed(check));
    comparisons.push(timed(compare));
  }
  const [checking, comparing] = [summary(checks), summary(comparisons)];
  return [
    { what: `checking both versions of ${PAIRS} protocols of ${lines} lines`, unit: "ms", ...checking },
    { what: `comparing them, ${PAIRS} pairs`, unit: "ms", ...comparing },
    {
      what: "comparing, against checking both",
      unit: "times",
      median: rounded(comparing.median / checking.median, 2),
    },
  ];
}

function timed(work) {
  const start = performance.now();
  work();
  return performance.now() - start;
}
