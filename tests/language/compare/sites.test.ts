import { readdirSync } from "node:fs";
import { compareSites } from "@limbwright/language";
import { expect, test } from "vitest";
import { comparedFile, comparedFiles, exampleText, ON, siteOf, WRIST } from "./two-versions.ts";

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
