import { readFileSync } from "node:fs";
import { join } from "node:path";
import { checkFiles, Site } from "@limbwright/language";
import type { Finding, Origin } from "@limbwright/shared/finding";
import { expect, test } from "vitest";

const BASE = join(import.meta.dirname, "base");
const base = (file: string) => readFileSync(join(BASE, file), "utf8");

interface Asked {
  readonly rule: string;
  readonly changes: readonly (readonly [string, string])[];
  /** The routines of another file, beside the staged release. */
  readonly routines?: string;
  /** A line of the local rules. */
  readonly set?: string;
}

/** The base protocol with its routine in another file, and some words changed: what a rule finds, and each place as it reads. */
function found({ rule, changes, routines = "", set = "" }: Asked) {
  const [protocol = "", staged = ""] = base("protocol.limb").split(/^(?=routine )/m);
  const changed = changes.reduce((text, [words, others]) => {
    if (!text.includes(words)) throw new Error(`the text has no "${words}"`);
    return text.replace(words, others);
  }, `use "shared/routines.limb"\n${protocol}`);
  const files = new Map([
    ["formulary.limb", base("formulary.limb")],
    ["local-rules.limb", base("local-rules.limb").replace(/\{\n/, `{\n  ${set}\n`)],
    ["shared/routines.limb", `${staged}\n${routines}`],
    ["protocol.limb", changed],
  ]);
  const reads = ({ file, start, end }: Origin) =>
    `${file}: ${files.get(file)?.slice(start.offset, end.offset).trim()}`;
  const [check] = checkFiles(new Site((name) => files.get(name)), ["protocol.limb"], { on: "2026-11-25" });
  const ofRule =
    check?.protocols.flatMap(({ findings }) => findings.filter((one) => one.rule === rule)) ?? [];
  return ofRule.map(({ origin, related }: Finding) => ({
    at: reads(origin),
    under: changed
      .slice(0, origin.start.offset)
      .match(/when .*/g)
      ?.at(-1),
    beside: related.map((one) => reads(one.origin)),
  }));
}

test("a timer that says too little is marked at the timer, not at the release in another file", () => {
  expect(found({ rule: "early-release", changes: [["at least 30 min", "at least 25 min"]] })).toMatchObject([
    { at: "protocol.limb: 25 min", beside: ["shared/routines.limb: deflate all for 10 s"] },
  ]);
});

test("a timer that says too little for the local rules is marked at the timer, with the local rules beside it", () => {
  const set = "set early-release.minimum 40 min";
  expect(found({ rule: "early-release", changes: [], set })).toMatchObject([
    {
      at: "protocol.limb: 30 min",
      beside: ["shared/routines.limb: deflate all for 10 s", `local-rules.limb: ${set}`],
    },
  ]);
});

test("a release without a wait is marked where the routine of another file is taken in", () => {
  const changes = [["    wait for hold\n", ""]] as const;
  expect(found({ rule: "early-release", changes })).toMatchObject([
    { at: "protocol.limb: do staged-release", beside: ["shared/routines.limb: deflate all for 10 s"] },
  ]);
});

test("where one answer leaves the wait out, the release is to blame, however little the timer says", () => {
  const ask = 'ask "In pain?" {\n yes {\n wait 1 min\n }\n no {\n wait for hold\n }\n }';
  const changes = [
    ["at least 30 min", "at least 25 min"],
    ["    wait for hold\n", `    ${ask}\n`],
  ] as const;
  expect(found({ rule: "early-release", changes }).map(({ at }) => at)).toEqual([
    "protocol.limb: do staged-release",
  ]);
});

test("of two places that take a routine in, the one is marked to which the run has come", () => {
  const routines = "routine sore {\n  deflate all\n  inflate all\n  confirm all\n}\n";
  const swap = /when tourniquet-pain once \{[\s\S]*?^ {6}\}/m.exec(base("protocol.limb"))?.[0] ?? "";
  const changes = [
    ["    confirm proximal\n", "    confirm proximal\n    do sore\n"],
    [swap, "when tourniquet-pain once {\n        do sore\n      }"],
  ] as const;
  expect(found({ rule: "no-cuff-up", changes, routines })).toMatchObject([
    {
      at: "protocol.limb: do sore",
      under: "when tourniquet-pain once {",
      beside: ["shared/routines.limb: deflate all"],
    },
  ]);
});

test("what is wrong in the protocol itself stays where it is", () => {
  const changes = [["do staged-release", "deflate all"]] as const;
  expect(found({ rule: "unstaged-release", changes }).map(({ at }) => at)).toEqual([
    "protocol.limb: deflate all",
  ]);
});
