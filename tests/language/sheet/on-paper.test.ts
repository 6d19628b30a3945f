import { sheetPage } from "@limbwright/language";
import { cellOnPaper, quantitiesOnPaper } from "@limbwright/shared/quantity";
import { describe, expect, test } from "vitest";
import { filesIn } from "../../examples/site.ts";
import { sheetFrom, WRIST, writtenFrom } from "./written-sheet.ts";

const THIN = "\u202f";

/** A comma, or a space that may end a line, between groups of three digits. */
const MISREAD = /\d[,\u2009]\d{3}(?!\d)/;

function textsIn(html: string): string[] {
  const shown = html.replace(/<style[\s\S]*?<\/style>/g, "");
  return shown.split(/<[^>]*>/).filter((text) => text.trim() !== "");
}

describe("in no sheet of an example a comma parts thousands", () => {
  test.each([...filesIn("protocols"), ...filesIn("flawed"), ...filesIn("retired")])("%s", (file) => {
    const result = sheetFrom(file, { draft: true });
    if (result.kind === "refused") expect(result.because).toContain("there are errors");
    else expect(textsIn(sheetPage(result.sheet)).filter((text) => MISREAD.test(text))).toEqual([]);
  });
});

describe("from a thousand on, with a thin space that ends no line", () => {
  const { sheet, html } = writtenFrom(WRIST, {
    draft: true,
    changes: {
      "at-hand     lipid-emulsion": 'at-hand     lipid-emulsion 1000 mL, "Bleep 1234"',
      "rate  15 mL/kg/h": "rate  15 mL/kg/h up to 1250 mL/h",
      'task oxygen  "Oxygen, airway"': 'task oxygen  "Oxygen, airway" by "1200 mL bag"',
    },
  });
  const shown = textsIn(html);

  test.each([
    ["in what is at hand; a telephone number stays as it is", `lipid-emulsion 1${THIN}000 mL, Bleep 1234`],
    ["in a note", `1${THIN}200 mL bag`],
    ["in a cell, whose unit stands above", `1${THIN}250`],
  ])("%s", (_, words) => {
    expect(shown.join("\n")).toContain(words);
  });

  test("and the sheet as data has nothing there, for programs", () => {
    expect(JSON.stringify(sheet)).not.toContain(THIN);
    expect(JSON.stringify(sheet)).toContain("lipid-emulsion 1000 mL");
  });
});

test.each([
  ["1000 mL", `1${THIN}000 mL`],
  ["1000 to 1500.5 mL/h", `1${THIN}000 to 1${THIN}500.5 mL/h`],
  ["12000 mcg to under 1300000 mcg", `12${THIN}000 mcg to under 1${THIN}300${THIN}000 mcg`],
  ["999 mL", "999 mL"],
  ["0.0004 mg", "0.0004 mg"],
  ["Ring 1234, on 2026-11-25", "Ring 1234, on 2026-11-25"],
  ["1,200 mL", "1,200 mL"],
])("%s stands on paper as %s", (text, onPaper) => {
  expect(quantitiesOnPaper(text)).toBe(onPaper);
});

test.each([
  ["1000", `1${THIN}000`],
  ["1000 to 1200", `1${THIN}000 to 1${THIN}200`],
  ["900.1234", "900.1234"],
  ["2026-11-25", "2026-11-25"],
])("a cell with %s stands on paper as %s", (text, onPaper) => {
  expect(cellOnPaper(text)).toBe(onPaper);
});
