import { readdirSync } from "node:fs";
import { join } from "node:path";
import { root } from "../../../.development/steps/files.mjs";
import { imported } from "../material/imported.mjs";
import { summary } from "../row.mjs";

const HOSPITAL = join(root, "examples/tarn-hollow");
/** What is not counted: code that is not compiled yet. */
const WARM_UP = 20;
const RUNS = 15;
/** Time for the compiler that works in the background. */
const PAUSE = 20;

/** The proof over runs of each protocol of the example hospital, warm: automaton, zones, and whether anything is stuck. */
export async function measure() {
  const { provers } = await imported("tests/bench/material/prove.ts");
  const files = readdirSync(join(HOSPITAL, "protocols")).map((name) => `protocols/${name}`);
  const rows = [];
  for (const { name, prove } of provers(HOSPITAL, files.sort())) {
    for (let run = 0; run < WARM_UP; run += 1) prove();
    await new Promise((done) => setTimeout(done, PAUSE));
    rows.push({
      what: `${name}, every run`,
      unit: "ms",
      ...summary(Array.from({ length: RUNS }, () => timed(prove))),
    });
  }
  return rows;
}

function timed(work) {
  const start = performance.now();
  work();
  return performance.now() - start;
}
