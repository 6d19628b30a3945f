import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { KEYWORDS } from "../../language/grammar/generated/keywords.ts";
import { checkExample, READING } from "../rules/page-examples.ts";

const REFERENCE = readFileSync(join(import.meta.dirname, "../../language/reference.md"), "utf8");

test("the reference lists exactly the words that cannot be names", () => {
  const section = REFERENCE.split("## Words that cannot be names")[1]?.split("\n## ")[0] ?? "";
  const listed = [...section.matchAll(/`([a-z0-9-]+)`/g)].map((match) => match[1]);
  expect(listed.sort()).toEqual([...KEYWORDS].sort());
});

describe("every example of the reference is understood", () => {
  const blocks = [...REFERENCE.matchAll(/^```limb\n([\s\S]*?)^```$/gm)].map((match) => match[1] ?? "");

  test("there are examples", () => {
    expect(blocks.length).toBeGreaterThan(4);
  });

  test.each(blocks.map((text) => [text.split("\n")[0], text]))("%s", (_firstLine, text) => {
    const { check } = checkExample(text, { about: READING });
    expect(check.findings.filter(({ severity }) => severity === "error")).toEqual([]);
  });
});
