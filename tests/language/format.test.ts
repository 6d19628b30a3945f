import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { type FormatResult, formatText } from "@limbwright/language";
import { describe, expect, test } from "vitest";

const ROOT = join(import.meta.dirname, "../..");

function formatted(text: string): string {
  const result = formatText(text);
  if (result.kind === "refused") throw new Error(`${result.place.line}: ${result.reason}`);
  return result.text;
}

function refusal(text: string): FormatResult & { readonly kind: "refused" } {
  const result = formatText(text);
  if (result.kind === "formatted") throw new Error("the text was formatted");
  return result;
}

describe("a protocol typed in a hurry", () => {
  const before = readFileSync(join(ROOT, "tests/golden/format/hurried.before.limb"), "utf8");

  test("gets the one layout", async () => {
    await expect(formatted(before)).toMatchFileSnapshot("../golden/format/hurried.after.limb");
  });

  test("stays as it is when laid out again", () => {
    expect(formatted(formatted(before))).toBe(formatted(before));
  });
});

describe("the hospital's files and the base of the rules' pages are in the formatter's layout", () => {
  const files = ["tests/rules/base", "examples/tarn-hollow"].flatMap((folder) =>
    readdirSync(join(ROOT, folder), { recursive: true, encoding: "utf8" })
      .filter((name) => name.endsWith(".limb") && !name.startsWith("flawed"))
      .map((name) => join(folder, name)),
  );

  test.each(files)("%s", (file) => {
    const text = readFileSync(join(ROOT, file), "utf8");
    expect(formatted(text)).toBe(text);
  });
});

describe("white space", () => {
  test("line ends of Windows stay", () => {
    expect(formatted("prepare {\r\nstaff 2\r\n}")).toBe("prepare {\r\n  staff  2\r\n}\r\n");
  });

  test("lone carriage returns become line feeds", () => {
    expect(formatted("prepare {\rstaff 2\r}\r")).toBe("prepare {\n  staff  2\n}\n");
  });

  test("a byte order mark is dropped", () => {
    expect(formatted('\ufeffuse "formulary.limb"')).toBe('use "formulary.limb"\n');
  });

  test("an empty text stays empty, and one of white space becomes empty", () => {
    expect(formatted("")).toBe("");
    expect(formatted(" \n\t\n")).toBe("");
  });

  test("blank lines stay, one at a time, but not at the edges of a block or of the file", () => {
    expect(formatted("\n\nsteps {\n\n\nfinish\n\n\n\nfinish\n\n}\n\n\n")).toBe(
      "steps {\n  finish\n\n  finish\n}\n",
    );
  });

  test("a quantity has one space before its unit and keeps its digits as they are written", () => {
    expect(formatted("dose a of b {\namount 3mg/kg up to 5.0\tmg\n}")).toBe(
      "dose a of b {\n  amount 3 mg/kg up to 5.0 mg\n}\n",
    );
  });

  test("values stand in columns until a blank line or another kind of statement", () => {
    expect(formatted('agent a {\nkind rescue\nconcentration 1 %\n\nkind rescue\natc "A"\n}')).toBe(
      'agent a {\n  kind          rescue\n  concentration 1 %\n\n  kind rescue\n  atc  "A"\n}\n',
    );
  });

  test("a very long name does not push the other values away", () => {
    const long = "a".repeat(60);
    expect(formatted(`patients {\ncaution ${long} "x"\ncaution b "y"\n}`)).toBe(
      `patients {\n  caution ${long} "x"\n  caution b "y"\n}\n`,
    );
  });
});

describe("comments", () => {
  test("stay on their line, two spaces after it", () => {
    expect(formatted("steps { // a\nfinish//b\n} // c")).toBe("steps {  // a\n  finish  //b\n}  // c\n");
  });

  test("have the indentation of what follows, and of the block before a closing brace", () => {
    expect(formatted("// a\nsteps {\n// b\nfinish\n// c\n}\n// d")).toBe(
      "// a\nsteps {\n  // b\n  finish\n  // c\n}\n// d\n",
    );
  });

  test("stay inside a statement, which goes on after them", () => {
    expect(formatted("cuffs proximal, // grey\n// and\ndistal on thigh {\n}")).toBe(
      "cuffs proximal,  // grey\n  // and\n  distal on thigh { }\n",
    );
  });

  test("before an opening brace move behind it", () => {
    expect(formatted("steps // a\n// b\n{ // c\nfinish }")).toBe(
      "steps {  // a\n  // b\n  // c\n  finish\n}\n",
    );
  });

  test("alone make a file", () => {
    expect(formatted("\n  // a  \n\n\n// b")).toBe("// a\n\n// b\n");
  });
});

describe("a text is refused, with the place", () => {
  test.each([
    ["a number without its amount", "dose a of b {\n  amount up\n}", 2, /After `amount`/],
    ["an unknown statement", "steps {\n  finish\n  inflaet all\n}", 3, /does not start any statement/],
    ["a stray brace", "steps {\n}\n}\n", 3, /closes nothing/],
    ["a block that is not closed", "steps {\n  finish\n", 2, /closing brace/],
    ["a quote that is not closed", 'steps {\n  task "Call // now\n}', 2, /closing quote/],
    ["a character of no language", "steps {\n  finish ?\n}", 2, /`\?`/],
  ])("for %s", (_name, text, line, reason) => {
    const result = refusal(text);
    expect(result.place.line).toBe(line);
    expect(result.reason).toMatch(reason);
  });

  test("for more than a million characters", () => {
    expect(refusal(`${" ".repeat(1_000_001)}finish`).reason).toMatch(/1\u202f000\u202f000/);
  });

  test("for a layout that would be too long to be read again", () => {
    const comments = "//\n".repeat(20_000);
    const text = `steps {${"repeat 2 times {".repeat(30)}${comments}${"}".repeat(31)}`;
    expect(refusal(text).reason).toMatch(/too long/);
  });
});
