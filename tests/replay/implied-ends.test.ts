import { expect, test } from "vitest";
import { csvRow } from "../../examples/tarn-hollow/cases/rows.mjs";
import { judgeOf, replayed } from "./replayed.ts";

const JUDGE = judgeOf("wrist-reduction");

/** As planned up to the first stage of the release; times in seconds. */
const UP_TO_RELEASE: readonly (readonly [at: number, event: string, value: string])[] = [
  [0, "start", "apply cuffs"],
  [20, "start", 'task "Patient, limb, drug and dose read aloud"'],
  [40, "end", 'task "Patient, limb, drug and dose read aloud"'],
  [40, "start", "insert cannula"],
  [80, "start", "exsanguinate by elevation"],
  [140, "start", "exsanguinate by bandage"],
  [180, "start", "inflate distal"],
  [190, "start", "confirm distal"],
  [200, "start", "inflate proximal"],
  [210, "start", "confirm proximal"],
  [220, "start", "deflate distal"],
  [230, "start", "remove bandage"],
  [260, "start", "confirm no pulse"],
  [290, "start", 'task "In the blocked limb; nothing else is connected"'],
  [300, "end", 'task "In the blocked limb; nothing else is connected"'],
  [300, "start", "inject local"],
  [420, "end", "inject local"],
  [420, "start", "remove cannula"],
  [750, "start", 'task "Reduce and splint"'],
  [1800, "end", 'task "Reduce and splint"'],
  [2220, "start", "deflate all for 10 s"],
];

function deviations(...more: readonly (readonly [at: number, event: string, value: string])[]) {
  const rows = [...UP_TO_RELEASE, ...more].map(([at, event, value]) =>
    csvRow({ case: "a", time: String(at), event, value }),
  );
  const [report] = replayed(JUDGE, `case,time,event,value\n${rows.join("")}`).cases;
  return report?.deviations.map(({ kind, what, rules }) => ({
    kind,
    what,
    rules: rules.map(({ rule }) => rule),
  }));
}

test("a cuff that is up again only as the next step starts was down for so long, whether its end is told or not", () => {
  expect(deviations([2460, "end", "deflate all for 10 s"], [2460, "start", "watch 1 min"])).toEqual([
    { kind: "too-late", what: "deflate all for 10 s", rules: ["deflation-too-long"] },
  ]);
  expect(deviations([2460, "start", "watch 1 min"])).toEqual([
    { kind: "too-late", what: "watch 1 min", rules: ["deflation-too-long"] },
  ]);
});

test("one whose end is told in time was not, however late the next step starts", () => {
  expect(deviations([2232, "end", "deflate all for 10 s"], [2460, "start", "watch 1 min"])).toEqual([
    { kind: "too-late", what: "watch 1 min", rules: [] },
  ]);
});

test("in time nothing deviates", () => {
  expect(deviations([2235, "start", "watch 1 min"])).toEqual([]);
});
