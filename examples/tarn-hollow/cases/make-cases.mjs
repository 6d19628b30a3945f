// Makes case records of the invented Tarn Hollow Hospital, and the key that says which deviations were planted in which case.
// node examples/tarn-hollow/cases/make-cases.mjs --count 200 --seed 1 --out cases.csv --key key.jsonl
// A name that ends in .jsonl gives JSON lines. The same seed gives the same cases.

import { once } from "node:events";
import { createWriteStream } from "node:fs";
import { parseArgs } from "node:util";
import { chosenPlants, madeCase, randomFrom } from "./made-case.mjs";
import { csvRow, jsonRow, TIME_FORMATS, timeText } from "./rows.mjs";

const { values } = parseArgs({
  options: {
    count: { type: "string", default: "100" },
    seed: { type: "string", default: "1" },
    out: { type: "string", default: "cases.csv" },
    key: { type: "string" },
    /** In how many of all cases something is planted, from 0 to 1. */
    share: { type: "string", default: "0.5" },
    /** The format of all times; without it each case has one of its own. */
    times: { type: "string" },
  },
});

const random = randomFrom(Number(values.seed));
const isJson = values.out.endsWith(".jsonl");
const out = createWriteStream(values.out);
const key = values.key === undefined ? undefined : createWriteStream(values.key);

if (!isJson) out.write("case,time,event,value\n");
for (let number = 1; number <= Number(values.count); number += 1) {
  const id = `TH-${String(number).padStart(6, "0")}`;
  const { rows, planted } = madeCase(random, chosenPlants(random, Number(values.share)));
  const format = values.times ?? TIME_FORMATS[Math.floor(random() * TIME_FORMATS.length)];
  const told = rows.map((row) => ({ ...row, case: id, time: timeText(row.time, format, number) }));
  if (!out.write(told.map(isJson ? jsonRow : csvRow).join(""))) await once(out, "drain");
  key?.write(`${JSON.stringify({ case: id, planted })}\n`);
}
out.end();
key?.end();
