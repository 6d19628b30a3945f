import type { CaseReport } from "@limbwright/shared/replay";
import { expect, test } from "vitest";
import type { Planted } from "../../examples/tarn-hollow/cases/made-case.mjs";
import { again, firstSeed, howMany } from "../questions.ts";
import { judgeOf, madeRecord, replayed } from "./replayed.ts";

const BATCH = 500;
const COUNT = howMany(10_000);

/** Every deviation that was planted in made cases is found, as what it is and by how much, and nothing else is. */
test(`every deviation planted in ${COUNT} cases is found, and none is invented`, () => {
  const judge = judgeOf("wrist-reduction");
  const counts = { cases: 0, events: 0, planted: 0, found: 0, missing: 0, invented: 0, notJudged: 0 };
  const kinds = new Map<string, number>();
  const examples: unknown[] = [];
  for (let from = 1; from <= COUNT; from += BATCH) {
    const options = { count: Math.min(BATCH, COUNT - from + 1), seed: firstSeed() + from, from };
    const { header, rows, planted } = madeRecord({ ...options, json: from % (2 * BATCH) !== 1 });
    const { cases } = replayed(judge, header + rows.join(""));
    for (const report of cases) {
      const of = planted.get(report.case) ?? [];
      const { missing, invented } = compared(report, of);
      counts.cases += 1;
      counts.events += report.events;
      counts.planted += of.length;
      counts.found += report.deviations.length;
      counts.missing += missing.length;
      counts.invented += invented.length;
      counts.notJudged += report.notJudged.length;
      for (const { kind } of of) kinds.set(kind, (kinds.get(kind) ?? 0) + 1);
      if (missing.length + invented.length > 0) examples.push({ case: report.case, missing, invented });
    }
  }
  console.log("planted deviations:", JSON.stringify({ ...counts, kinds: Object.fromEntries(kinds) }));
  expect(examples.slice(0, 3), again(firstSeed())).toEqual([]);
  expect(counts).toMatchObject({ cases: COUNT, missing: 0, invented: 0, notJudged: 0 });
  expect(counts.found).toBe(counts.planted);
  expect(kinds.size).toBe(10);
});

function compared({ deviations }: CaseReport, planted: readonly Planted[]) {
  const invented = [...deviations];
  const missing = planted.filter(({ kind, what, by, rule }) => {
    const index = invented.findIndex(
      (one) =>
        one.kind === kind &&
        one.what === what &&
        (by === undefined || Number(one.by?.value) === by) &&
        (rule === undefined || [...one.rules, ...one.ledTo].some((broken) => broken.rule === rule)),
    );
    if (index >= 0) invented.splice(index, 1);
    return index < 0;
  });
  return { missing, invented: invented.map(({ kind, words }) => `${kind}: ${words}`) };
}
