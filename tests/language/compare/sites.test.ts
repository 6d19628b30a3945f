import { readdirSync } from "node:fs";
import { compareSites, type ProtocolComparison } from "@limbwright/language";
import { expect, test } from "vitest";
import { comparedFile, comparedFiles, exampleText, lines, ON, siteOf, WRIST } from "./two-versions.ts";

const ANKLE = "protocols/ankle-reduction.limb";

function outcomes(files: readonly string[], before: Record<string, string>, now: Record<string, string>) {
  return comparedFiles(files, before, now).map(({ protocol, outcome, changes }) => ({
    protocol,
    outcome,
    kinds: [...new Set(changes.map(({ kind }) => kind))],
  }));
}

test("a formulary that changes lists every protocol it touches, though their files did not change", () => {
  const formulary = exampleText("formulary.limb").replace("maximum       300 mg", "maximum       280 mg");
  expect(
    outcomes([ANKLE, WRIST, "protocols/prilocaine-wrist.limb"], {}, { "formulary.limb": formulary }),
  ).toEqual([
    // Nobody it covers weighs enough to be given as much.
    { protocol: "ankle-reduction", outcome: "changed", kinds: ["wording"] },
    { protocol: "prilocaine-wrist", outcome: "nothing", kinds: [] },
    { protocol: "wrist-reduction", outcome: "changed", kinds: ["tighter"] },
  ]);
});

test("a protocol under another name is known by what it says", () => {
  const renamed = exampleText(WRIST).replace("protocol wrist-reduction", "protocol wrist-manipulation");
  expect(outcomes([WRIST, ANKLE], {}, { [WRIST]: renamed })).toEqual([
    { protocol: "ankle-reduction", outcome: "nothing", kinds: [] },
    { protocol: "wrist-manipulation", outcome: "changed", kinds: ["wording"] },
  ]);
});

/** Four protocols before; now one of them has another name, lies in another file, and gives more. */
test("one that is renamed together with its file, among others, is the same protocol, and what is looser shows", () => {
  const FOUR = [ANKLE, WRIST, "protocols/finger-suture.limb", "protocols/foot-surgery.limb"];
  const moved = "protocols/wrist-manipulation.limb";
  const text = exampleText(WRIST)
    .replace("protocol wrist-reduction", "protocol wrist-manipulation")
    .replace("up to 200 mg", "up to 250 mg");
  const now = {
    site: siteOf({ [moved]: text }),
    files: [...FOUR.filter((one) => one !== WRIST), moved],
    name: "now",
  };
  const compared = [...compareSites({ site: siteOf({}), files: FOUR, name: "before" }, now, { on: ON })];
  expect(compared.map(({ comparison }) => `${comparison.protocol}: ${comparison.outcome}`)).toEqual([
    "ankle-reduction: nothing",
    "finger-suture: nothing",
    "foot-surgery: nothing",
    "wrist-manipulation: changed",
  ]);
  const [, , , renamed] = compared.map(({ comparison }) => comparison);
  expect(renamed?.before?.name).toBe("wrist-reduction");
  expect(renamed?.version).toMatchObject({ needed: "first", raised: "none" });
  const told = lines(renamed as ProtocolComparison);
  expect(told[0]).toBe(
    "looser dose: The amount of `local` is 3 mg/kg up to 250 mg now; before, 3 mg/kg up to 200 mg.",
  );
  expect(told.find((one) => one.includes("is called"))).toMatch(
    /^needs-a-reader document: The protocol is called `wrist-manipulation` now; before, `wrist-reduction`\. It is taken for the same one, .* of 91 statements that the two make, both make 89\.$/,
  );
});

test("of several that are renamed each belongs to the likest, and one that is really new or gone stays so", () => {
  const files = (names: readonly string[]) => names.map((name) => `protocols/${name}.limb`);
  const renamed = (file: string, from: string, to: string) =>
    exampleText(`protocols/${file}.limb`)
      .replace(`protocol ${from}`, `protocol ${to}`)
      .replace("50 min", "52 min");
  const texts = {
    "protocols/a.limb": renamed("injured-arm", "injured-arm", "a"),
    "protocols/b.limb": renamed("wrist-reduction", "wrist-reduction", "b"),
    "protocols/c.limb": renamed("foot-surgery", "foot-surgery", "c"),
  };
  const before = files(["injured-arm", "wrist-reduction", "hand-laceration", "finger-suture"]);
  const now = {
    site: siteOf(texts),
    files: [...files(["finger-suture"]), ...Object.keys(texts)],
    name: "now",
  };
  const compared = [...compareSites({ site: siteOf({}), files: before, name: "before" }, now, { on: ON })];
  expect(
    compared.map(({ comparison }) => [comparison.before?.name, comparison.now?.name, comparison.outcome]),
  ).toEqual([
    ["injured-arm", "a", "changed"],
    ["wrist-reduction", "b", "changed"],
    [undefined, "c", "added"],
    ["finger-suture", "finger-suture", "nothing"],
    ["hand-laceration", undefined, "removed"],
  ]);
});

test("no two protocols of the example hospital are so like one another that one could be taken for the other", () => {
  const all = readdirSync(new URL("../../../examples/tarn-hollow/protocols", import.meta.url));
  for (const one of all) {
    const others = all.filter((other) => other !== one).map((other) => `protocols/${other}`);
    const before = { site: siteOf({}), files: others, name: "before" };
    const now = { site: siteOf({}), files: [`protocols/${one}`], name: "now" };
    const outcomes = [...compareSites(before, now, { on: ON })].map(({ comparison }) => comparison.outcome);
    expect(outcomes.sort()).toEqual(["added", ...others.map(() => "removed")]);
  }
});

test("a protocol that moved into another file is the same protocol", () => {
  const moved = "protocols/moved.limb";
  const site = siteOf({ [moved]: exampleText(WRIST), [WRIST]: "" });
  const before = { site: siteOf({}), files: [WRIST], name: "before" };
  const [only] = [...compareSites(before, { site, files: [moved], name: "now" }, { on: ON })];
  expect(only?.comparison).toMatchObject({ outcome: "nothing", protocol: "wrist-reduction" });
  expect(only?.comparison.now?.origin.file).toBe(moved);
});

test("a protocol that only one side has is said to be new or gone, and compared with nothing", () => {
  const before = { site: siteOf({}), files: [WRIST], name: "before" };
  const now = { site: siteOf({}), files: [ANKLE, WRIST], name: "now" };
  const outcome = (a: typeof before, b: typeof now) =>
    [...compareSites(a, b, { on: ON })].map(
      ({ comparison }) => `${comparison.protocol}: ${comparison.outcome}`,
    );
  expect(outcome(before, now)).toEqual(["ankle-reduction: added", "wrist-reduction: nothing"]);
  expect(outcome(now, before)).toEqual(["ankle-reduction: removed", "wrist-reduction: nothing"]);
});

test("a file that is not there is told, and belongs to no protocol", () => {
  const site = siteOf({});
  const compared = compareSites(
    { site, files: ["missing.limb"], name: "the folder `approved`" },
    { site, files: [WRIST], name: "now" },
    { on: ON },
  );
  let step = compared.next();
  while (!step.done) step = compared.next();
  expect(step.value).toEqual([{ side: "before", limit: "missing.limb is not in the folder `approved`" }]);
});

test.each(["before", "now"] as const)(
  "beside an error in the text %s, nothing is said to be unchanged",
  (side) => {
    const broken = { [WRIST]: exampleText(WRIST).replace("wait 5 min", "wait 5 minuts") };
    const sound = {};
    const { outcome, notCompared } =
      side === "before" ? comparedFile(WRIST, broken, sound) : comparedFile(WRIST, sound, broken);
    expect(outcome).not.toBe("nothing");
    expect(notCompared.map(({ side: where }) => where)).toContain(side);
    expect(notCompared[0]?.limit).toContain("was not compared");
  },
);

test("two texts with the same error are not decided", () => {
  const broken = { [WRIST]: exampleText(WRIST).replace("wait 5 min", "wait 5 minuts") };
  expect(comparedFile(WRIST, broken, broken)).toMatchObject({ outcome: "not-decided", changes: [] });
});

test("a change of the shared routine is decided over the runs of every protocol that calls it", () => {
  const routines = exampleText("routines.limb").replace("watch 1 min", "watch 90 s");
  const files = readdirSync(new URL("../../../examples/tarn-hollow/protocols", import.meta.url));
  const compared = comparedFiles(
    files.map((file) => `protocols/${file}`),
    {},
    { "routines.limb": routines },
  );
  const undecided = compared.flatMap(({ protocol, changes }) =>
    changes.flatMap(({ notDecided, part }) =>
      notDecided === undefined || part === "verdict" ? [] : [`${protocol}: ${notDecided}`],
    ),
  );
  expect(undecided).toEqual([]);
  expect(compared.filter(({ outcome }) => outcome === "changed").length).toBeGreaterThan(4);
});
