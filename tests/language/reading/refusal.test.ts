import { Site } from "@limbwright/language";
import { expect, test } from "vitest";

function problemsOf(text: string) {
  return new Site(() => text).file("a.limb")?.problems ?? [];
}

/** Blocks inside each other, `depth` deep, with a number in the innermost. */
function nested(depth: number): string {
  const open = 'ask "Again?" { yes { ';
  const blocks = Math.floor((depth - 2) / 2);
  return `protocol a { steps { ${open.repeat(blocks)}${"}".repeat(2 * blocks)} } }`;
}

test("a text of a million characters is read, and one more is refused in words", () => {
  const comment = "// a line of comment\n";
  const text = comment.repeat(Math.floor(1_000_000 / comment.length)).padEnd(1_000_000, "\n");
  expect(problemsOf(text)).toEqual([]);
  const [problem, ...others] = problemsOf(`${text} `);
  expect(others).toEqual([]);
  expect(problem).toMatchObject({ rule: "text-not-understood", origin: { start: { line: 1, column: 1 } } });
  expect(problem?.what).toContain("1\u202f000\u202f001 characters; at most 1\u202f000\u202f000");
  expect(problem?.next).toContain("one protocol a file");
});

test("thirty-two levels of braces are read, and thirty-three are refused at the first one too deep", () => {
  expect(problemsOf(nested(32)).filter(({ what }) => what.includes("nested deeper"))).toEqual([]);
  const text = nested(34);
  const refused = problemsOf(text);
  expect(refused).toHaveLength(1);
  expect(refused[0]?.what).toContain("nested deeper than 32");
  const before = text.slice(0, (refused[0]?.origin.start.column ?? 0) - 1);
  expect([before.match(/\{/g)?.length, text[before.length]]).toEqual([32, "{"]);
});

test("parentheses count as levels, texts and comments do not", () => {
  const amount = (depth: number) => `dose a of b {\n amount ${"(".repeat(depth)}3 mg${")".repeat(depth)}\n}`;
  expect(problemsOf(amount(40)).map(({ what }) => what)).toEqual([
    expect.stringContaining("nested deeper than 32"),
  ]);
  expect(problemsOf(`// ${"{".repeat(40)}\nagent a "${"{(".repeat(40)}" {\n}\n`)).toEqual([]);
});
