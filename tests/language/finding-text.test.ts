import { findingLines, wrap } from "@limbwright/language";
import type { Finding, Place } from "@limbwright/shared/finding";
import { describe, expect, test } from "vitest";

/** The place of an offset, lines and columns counted from 1. */
function placeAt(text: string, offset: number): Place {
  const before = text.slice(0, offset).split(/\r\n|\r|\n/);
  return { line: before.length, column: (before.at(-1)?.length ?? 0) + 1, offset };
}

/** The source line and the line under it, as shown for a finding about these words of a text. */
function shown(text: string, words: string, label = "here", width = 60): string[] {
  const start = text.indexOf(words);
  const finding: Finding = {
    rule: "some-rule",
    severity: "unsafe",
    origin: { file: "a.limb", start: placeAt(text, start), end: placeAt(text, start + words.length) },
    what: "What.",
    label,
    why: "",
    next: "Next.",
    related: [],
    repairs: [],
  };
  const lines = findingLines(finding, { colour: false, width, textOf: () => text }, []);
  return lines.filter((line) => line.includes("│"));
}

describe("the words to blame", () => {
  test("stand over the carets, also behind tabs, combining marks, pictures and full-width letters", () => {
    expect(shown('\tnote "é e\u0301 💉 表" x 40 mL', "40 mL")).toEqual([
      '  1 │     note "é e\u0301 💉 表" x 40 mL',
      "    │                        ^^^^^ here",
    ]);
  });

  test("are found in a line of Windows, of old Macs, and after a line separator in a text", () => {
    for (const lineEnd of ["\n", "\r\n", "\r"]) {
      expect(shown(`a${lineEnd}b 40 mL${lineEnd}c`, "40 mL")).toEqual([
        "  2 │ b 40 mL",
        "    │   ^^^^^ here",
      ]);
    }
  });

  test("are marked to the end of their first line when they go on", () => {
    expect(shown("stage x {\n  wait 1 min\n}", "stage x {\n  wait 1 min\n}")).toEqual([
      "  1 │ stage x {",
      "    │ ^^^^^^^^^ here",
    ]);
  });

  test("are in sight in a line that is too long, cut around them", () => {
    const text = `${"before ".repeat(20)}40 mL${" after".repeat(20)}`;
    const [line = "", marks = ""] = shown(text, "40 mL");
    expect(line.length).toBeLessThanOrEqual(60);
    expect(line).toMatch(/^ {2}1 │ ….*40 mL.*…$/);
    expect(line.slice(marks.indexOf("^"), marks.lastIndexOf("^") + 1)).toBe("40 mL");
  });

  test("are cut themselves when they are longer than the line", () => {
    const lines = shown(
      `amount ${"lesser of ".repeat(20)}`,
      "lesser of ".repeat(20).trim(),
      "too long to be read",
    );
    expect(lines[0]).toMatch(/^ {2}1 │ amount lesser of .*…$/);
    expect(lines.every((line) => line.length <= 60)).toBe(true);
    expect(lines.join(" ")).toContain("too long to be read");
  });

  test("are marked by one caret where they are nothing, as at the end of a text", () => {
    expect(shown("protocol", "")).toEqual(["  1 │ protocol", "    │ ^ here"]);
  });

  test("are left out when the text is not there any more", () => {
    const finding = shown("a", "a");
    expect(finding).toHaveLength(2);
    const far: Place = { line: 9, column: 1, offset: 99 };
    const lines = findingLines(
      {
        rule: "some-rule",
        severity: "advice",
        origin: { file: "a.limb", start: far, end: far },
        what: "What.",
        label: "here",
        why: "",
        next: "Next.",
        related: [],
        repairs: [],
      },
      { colour: false, width: 60, textOf: () => "a" },
      [],
    );
    expect(lines).toEqual([
      "advice  some-rule                                 a.limb:9:1",
      "  What.",
      "  Next: Next.                             limb why some-rule",
    ]);
  });
});

describe("wrapping", () => {
  test("keeps names in backticks whole, with the mark after them", () => {
    expect(wrap("Write `over 90 s to 3 min`, or more.", 26)).toEqual([
      "Write",
      "`over 90 s to 3 min`, or",
      "more.",
    ]);
  });

  test("hangs the lines under the first", () => {
    expect(wrap("one two three", 10, "- ")).toEqual(["- one two", "  three"]);
  });

  test("breaks a name that fills a line by itself, and loses nothing of an odd backtick", () => {
    expect(wrap("`one two three four five`", 10).join(" ")).toBe("`one two three four five`");
    expect(wrap("a ` b", 10)).toEqual(["a ` b"]);
    expect(wrap("", 10)).toEqual([""]);
  });
});
