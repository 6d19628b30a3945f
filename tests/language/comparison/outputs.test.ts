import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { Ajv2020 } from "ajv/dist/2020.js";
import { describe, expect, test } from "vitest";
import type { ProtocolComparison } from "../../../language/compare/comparison.ts";
import { comparisonJson } from "../../../language/outputs/comparison/json.ts";
import { comparisonMarkdown } from "../../../language/outputs/comparison/markdown.ts";
import { releaseNotes } from "../../../language/outputs/comparison/notes.ts";
import { comparisonText } from "../../../language/outputs/comparison/text.ts";
import { verdictOf } from "../../../language/outputs/comparison/words.ts";
import {
  ADDED,
  BROKEN,
  LOOSER,
  REMOVED,
  REWORDED,
  reportOf,
  UNCHANGED,
  UNDECIDED,
  WHOLE,
} from "./written-comparisons.ts";

const require = createRequire(import.meta.url);
const markdownIt: (options: object) => { render(markdown: string): string } = require("markdown-it");

const GOLDEN = join(import.meta.dirname, "../../golden/compare");
const plainly = { colour: false, width: 100 };

const OUTPUTS: Readonly<Record<string, (protocols: readonly ProtocolComparison[]) => string>> = {
  text: (protocols) => comparisonText(reportOf(protocols), plainly),
  markdown: (protocols) => comparisonMarkdown(reportOf(protocols)),
  notes: (protocols) => releaseNotes(reportOf(protocols)),
};

test("a comparison as text, at a terminal", async () => {
  await expect(comparisonText(WHOLE, plainly)).toMatchFileSnapshot(`${GOLDEN}/whole.txt`);
});

test("a comparison as the comment of a merge request", async () => {
  await expect(comparisonMarkdown(WHOLE)).toMatchFileSnapshot(`${GOLDEN}/whole.md`);
});

test("a comparison as notes for the block room", async () => {
  await expect(releaseNotes(WHOLE)).toMatchFileSnapshot(`${GOLDEN}/whole.notes.txt`);
});

describe.each(Object.entries(OUTPUTS))("as %s", (_, write) => {
  test("every comparison carries the caution", () => {
    expect(write([UNCHANGED]).replace(/\\|\n(?=\S)/g, (one) => (one === "\\" ? "" : " "))).toContain(
      "It is not a medical device and judges no patient: local policy and licensed practice decide.",
    );
  });

  test("what was not wholly compared is not decided, and never without a change", () => {
    for (const protocols of [[BROKEN], [UNDECIDED], [BROKEN, LOOSER]]) {
      const written = write(protocols);
      expect(written).toContain("ot decided");
      expect(written).not.toMatch(/no change:|no change in|nothing has changed|only wording/i);
    }
  });

  test("a protocol that only one version has is told", () => {
    expect(write([ADDED, REMOVED])).toMatch(/new[\s\S]*(gone|no longer there)/);
  });
});

describe("the text", () => {
  test("says that nothing changed only where all was compared", () => {
    expect(OUTPUTS.text?.([UNCHANGED])).toContain("No change: everything was compared");
    expect(OUTPUTS.text?.([REWORDED])).toContain("Only wording: 1 text written otherwise");
  });

  test("has no line that is wider than it may be, and no colour that was not asked for", () => {
    const text = comparisonText(WHOLE, { colour: false, width: 60 });
    expect(Math.max(...text.split("\n").map((line) => line.length))).toBeLessThanOrEqual(60);
    expect(text).not.toContain("\u001b");
  });

  test("is the same in colour once the colours are taken away", () => {
    const coloured = comparisonText(WHOLE, { ...plainly, colour: true });
    expect(coloured).toContain("\u001b[1;31mlooser\u001b[0m");
    // biome-ignore lint/suspicious/noControlCharactersInRegex: these are the colours.
    const withoutColours = coloured.replace(/\u001b\[[\d;]*m/g, "");
    // Names between backticks are bright instead.
    expect(withoutColours.replaceAll("`", "")).toBe(comparisonText(WHOLE, plainly).replaceAll("`", ""));
  });

  test("makes characters that act on a terminal visible", () => {
    const evil = { ...LOOSER, now: { ...LOOSER.now, title: "a\u001b[2Jb\u202ec" } } as ProtocolComparison;
    expect(OUTPUTS.text?.([evil])).toContain("a\ufffd[2Jb\ufffdc");
  });

  test("tells times that are the same only where everything is to be told", () => {
    expect(comparisonText(reportOf([LOOSER]), plainly)).not.toContain("latest release");
    expect(comparisonText(reportOf([LOOSER]), { ...plainly, verbose: true })).toContain("latest release");
  });

  test("says how far a version was raised, and how far it had to be", () => {
    const raised = (version: ProtocolComparison["version"]) =>
      OUTPUTS.text?.([{ ...LOOSER, version }]).replace(/\s+/g, " ");
    const asked = "The changes ask for the first number of the version to be raised";
    expect(raised(LOOSER.version)).toContain(`${asked}; 1.4.0 became 1.5.0, which raises the`);
    expect(
      raised({ before: "1.4.0", now: "2.0.0", needed: "first", raised: "first", isEnough: true }),
    ).toContain(`${asked}, and it was: 1.4.0 became 2.0.0.`);
    expect(
      raised({ before: "1.4.0", now: "1.4.0", needed: "first", raised: "none", isEnough: false }),
    ).toContain(`${asked}; it is still 1.4.0.`);
    expect(raised({ now: "1.4.0", needed: "first", raised: "none", isEnough: true })).toContain(
      `${asked}. The earlier one has none`,
    );
  });
});

// CommonMark 0.31.2, by an implementation of it that is not ours (markdown-it).
describe("the Markdown, read by another reader of CommonMark,", () => {
  const html = markdownIt({ html: true, linkify: true }).render(comparisonMarkdown(WHOLE));

  test("holds no element and no link that stands in the text of a protocol", () => {
    expect(html).not.toMatch(/<script|<b>|<a /);
    expect(html).toContain("&lt;script&gt;alert(1)&lt;/script&gt;");
    expect(html).toContain("task &lt;b&gt;splint&lt;/b&gt;");
  });

  test("calls nobody: an invisible joiner stands between @ and a name", () => {
    expect(html).not.toMatch(/@\w/);
    expect(html).toContain("@\u2060surgeon");
  });

  test("reads as the text does", () => {
    const read = html.replace(/<[^>]*>/g, "").replaceAll("\u2060", "");
    for (const words of [
      "More of lidocaine is given.",
      "3 mg/kg up to 200 mg",
      "Raynaud's",
      "| [disease](https://tarn.example)",
    ]) {
      expect(read).toContain(words);
    }
    expect(read).not.toContain("\\");
  });
});

test("the notes tell first what is looser, then what is different, then what is tighter, and no rule", () => {
  const notes = releaseNotes(reportOf([{ ...LOOSER, changes: [...LOOSER.changes, ...UNDECIDED.changes] }]));
  const order = [
    "Allowed from now on",
    "Done differently from now on",
    "No longer allowed",
    "Read again",
  ].map((one) => notes.indexOf(one));
  expect(order).toEqual([...order].sort((a, b) => a - b));
  expect(Math.min(...order)).toBeGreaterThan(0);
  expect(notes).not.toContain("`");
});

describe("the JSON", () => {
  const schemaIn = (name: string) =>
    JSON.parse(readFileSync(join(import.meta.dirname, "../../../language/outputs", name), "utf8"));
  const validate = new Ajv2020({ strict: true })
    .addSchema(schemaIn("findings/findings.schema.json"), "outputs/findings/findings.schema.json")
    .compile({
      $id: "outputs/comparison/comparison.schema.json",
      ...schemaIn("comparison/comparison.schema.json"),
    });
  const unread = [{ file: "a.limb", what: "It is gone.", next: "Look." }];
  const value = JSON.parse(comparisonJson({ ...WHOLE, version: "0.1.0", unread }));

  test("is what its schema says, and the schema refuses what is not", () => {
    validate(value);
    expect(validate.errors).toBeNull();
    expect(validate({ ...value, extra: 1 })).toBe(false);
    expect(validate({ ...value, protocols: [{ ...value.protocols[0], outcome: "same" }] })).toBe(false);
  });

  test("names each change by its code", () => {
    expect(value.formatVersion).toBe(3);
    expect(value.protocols[0].changes.map(({ code }: { code: string }) => code)).toEqual(
      LOOSER.changes.map(({ code }) => code),
    );
    const [first, ...others] = value.protocols[0].changes;
    const { code: _none, ...withoutCode } = first;
    const changed = { ...value.protocols[0], changes: [withoutCode, ...others] };
    expect(validate({ ...value, protocols: [changed] })).toBe(false);
  });

  test("counts protocols by outcome and changes by kind", () => {
    expect(value.summary).toEqual({
      verdict: "not-raised",
      protocols: { nothing: 1, changed: 1, "not-decided": 1, added: 1, removed: 1 },
      changes: { "no-longer-safe": 0, looser: 2, different: 1, tighter: 1, "needs-a-reader": 1, wording: 1 },
    });
  });
});

describe("a whole comparison", () => {
  const verdict = (...protocols: ProtocolComparison[]) => verdictOf(reportOf(protocols).comparison);

  test("is wanting where a first number was asked for and not raised", () => {
    expect(verdict(UNDECIDED, LOOSER)).toBe("not-raised");
    expect(verdict({ ...LOOSER, version: { ...LOOSER.version, raised: "first", isEnough: true } })).toBe(
      "clear",
    );
  });

  test("is no longer safe where a change is, whatever was raised", () => {
    const [first] = LOOSER.changes;
    const version = { ...LOOSER.version, raised: "first", isEnough: true } as const;
    const changes = first ? [{ ...first, kind: "no-longer-safe" } as const] : [];
    expect(verdict({ ...LOOSER, version, changes })).toBe("no-longer-safe");
  });

  test("is not decided where a protocol, a change, a time or a file is not", () => {
    expect(verdict(UNCHANGED, BROKEN)).toBe("not-decided");
    expect(verdict({ ...LOOSER, version: UNCHANGED.version, changes: UNDECIDED.changes })).toBe(
      "not-decided",
    );
    expect(verdict({ ...UNCHANGED, times: UNDECIDED.times })).toBe("not-decided");
    expect(verdictOf(WHOLE.comparison)).toBe("not-raised");
    expect(verdictOf({ ...WHOLE.comparison, protocols: [UNCHANGED] })).toBe("not-decided");
  });

  test("is clear with a new protocol, one that is gone, and wording", () => {
    expect(verdict(ADDED, REMOVED, REWORDED, UNCHANGED)).toBe("clear");
  });
});
