import { checkFiles, releasePictures, releasesOf, runPictureOf, Site } from "@limbwright/language";
import { type RunPicture, runPicture } from "@limbwright/shared/pictures";
import { markupText } from "@limbwright/shared/text";
import { describe, expect, test } from "vitest";
import { filesIn, textOf } from "../../examples/site.ts";
import { ON } from "../rule-file/compiled.ts";
import { WRIST } from "../sheet/written-sheet.ts";

const GOLDEN = `${import.meta.dirname}/../../golden/pictures`;

function judged(file: string) {
  const [check] = [...checkFiles(new Site(textOf), [file], { on: ON })];
  const judgement = check?.protocols[0];
  if (!judgement) throw new Error(`${file} has no protocol`);
  return judgement;
}

const { protocol: WRIST_PROTOCOL, explored: WRIST_RUNS } = judged(WRIST);
const [EARLIEST, LATEST] = releasePictures(WRIST_PROTOCOL, releasesOf(WRIST_RUNS.runs), "run");
const EARLY = judged("flawed/let-down-early.limb");

function brokenRun(): RunPicture {
  const finding = EARLY.findings.find(({ rule }) => rule === "early-release");
  if (!finding?.run) throw new Error("no run");
  const title = { id: "run", title: finding.what };
  return runPictureOf(EARLY.protocol, finding.run, title, finding.label);
}

describe("a picture of", () => {
  test.each([
    ["earliest", EARLIEST],
    ["latest", LATEST],
    ["broken", brokenRun()],
  ])("the %s run is the golden file", async (name, picture) => {
    expect(picture).toBeDefined();
    const text = picture ? markupText(runPicture(picture)) : "";
    await expect(`${text}\n`).toMatchFileSnapshot(`${GOLDEN}/run-${name}.svg`);
  });
});

/** What a strip shows: from when to when, in seconds, and what is so. */
function strip(picture: RunPicture | undefined, name: string) {
  const found = picture?.strips.find((one) => one.name === name)?.spans ?? [];
  return found.map(({ from, to, is }) => [from, to, is]);
}

describe("the run with the earliest release", () => {
  // Worked out by hand from the steps: all that may take no time takes none; elevation 1 min; local 90 s; hold 30 min.
  const RELEASE = 60 + 90 + 30 * 60;

  test("lets the cuff down when hold is over, for 10 s, twice, and then for good", () => {
    expect(strip(EARLIEST, "proximal (grey)")).toEqual([
      [60, 60, "up"],
      [60, RELEASE, "confirmed"],
      [RELEASE + 10, RELEASE + 70, "up"],
      [RELEASE + 80, RELEASE + 140, "up"],
    ]);
    expect(strip(EARLIEST, "drug")[0]).toEqual([60, RELEASE, "in-limb"]);
    expect(EARLIEST?.moment).toMatchObject({ at: RELEASE, says: "release, 30:00 after the injection" });
  });

  test("shows each clock with its least and its most", () => {
    expect(EARLIEST?.clocks.map(({ name, from, least, most }) => [name, from, least?.at, most?.at])).toEqual([
      ["occlusion", 60, undefined, 60 + 60 * 60],
      ["hold", 150, RELEASE, 150 + 50 * 60],
    ]);
  });

  test("has no event in it: it needs none", () => {
    expect(EARLIEST?.description).not.toContain("tourniquet-pain");
  });
});

describe("the times at which pictures release are those of the envelope", () => {
  test.each(filesIn("protocols"))("%s", (file) => {
    const { protocol, explored } = judged(file);
    const { runs } = explored;
    if (runs.kind !== "explored") throw new Error("not explored");
    const { release } = runs.envelope;
    const pictures = releasePictures(protocol, releasesOf(runs), "run");
    const held = pictures.map((picture) => {
      const hold = picture.clocks.find(({ name }) => name.startsWith("hold"));
      return (picture.moment?.at ?? 0) - (hold?.from ?? 0);
    });
    const latest = release?.latest;
    expect(held).toEqual([
      release?.earliest.seconds,
      latest && (latest.attained ? latest.seconds : latest.seconds - 1),
    ]);
  });
});

test("a latest release that has no limit is not drawn", () => {
  const { protocol, explored } = judged("flawed/surgeon-without-end.limb");
  const { runs } = explored;
  expect(runs.kind === "explored" && runs.envelope.release?.latest).toBeUndefined();
  expect(releasePictures(protocol, releasesOf(runs), "run").map(({ title }) => title)).toEqual([
    "The earliest release",
  ]);
});

test("no earliest or latest release is drawn where runs are followed only up to what a rule found", () => {
  const { protocol, explored } = judged("flawed/swap-the-wrong-way.limb");
  const { runs } = explored;
  expect(runs.kind === "explored" && runs.endedBy).toContain("no-cuff-up");
  expect(releasePictures(protocol, releasesOf(runs), "run")).toEqual([]);
});

describe("the run of a finding", () => {
  test("ends where the rule is broken, and says so", () => {
    const picture = brokenRun();
    const finding = EARLY.findings.find(({ rule }) => rule === "early-release");
    const last = finding?.run?.lines.at(-1);
    expect(picture.moment).toEqual({
      at: last?.seconds,
      says: "20:00 too early",
      place: { file: "flawed/let-down-early.limb", line: finding?.origin.start.line },
    });
  });
});

test("each span leads to the line that began it", () => {
  const lines = (textOf(WRIST) ?? "").split("\n");
  const [up, confirmed] = EARLIEST?.strips[0]?.spans ?? [];
  expect(lines[(up?.place?.line ?? 0) - 1]?.trim()).toBe("inflate proximal");
  expect(lines[(confirmed?.place?.line ?? 0) - 1]?.trim()).toBe("confirm proximal");
});

test("what is so is told apart without colour", () => {
  const spans = EARLIEST?.strips.flatMap((one) => one.spans) ?? [];
  const svg = EARLIEST ? markupText(runPicture(EARLIEST)) : "";
  const looks = [...new Set(spans.map(({ is }) => is))].map((is) => {
    const [, fill] = new RegExp(`class="span ${is}"[^>]* fill="([^"]*)"`).exec(svg) ?? [];
    return fill;
  });
  expect(new Set(looks).size).toBe(looks.length);
  expect(looks.length).toBe(5);
  expect(svg).not.toMatch(/#[0-9a-f]{3,6}"|rgb\(|style=/);
});

test("names that are long, or markup, are text and stay in the picture", () => {
  const name = `<b>${"x".repeat(60)}`;
  const svg = markupText(
    runPicture({
      id: "x",
      title: "<t>",
      description: "<d>",
      until: 60,
      strips: [{ name, spans: [] }],
      clocks: [],
    }),
  );
  expect(svg).not.toMatch(/<[bdt]>/);
  expect(svg).toContain(`&lt;b&gt;${"x".repeat(12)}…`);
});
