import { describe, expect, test } from "vitest";
import { answerTo } from "./answer.ts";
import { hostileTexts } from "./hostile-texts.ts";

describe("a text of thousands of anything gets an answer", () => {
  test.each([...hostileTexts(3_000)])("%s", (_name, textOf) => {
    expect(() => answerTo(textOf())).not.toThrow();
  });
});

/** What is said about the whole file, where it is not read. */
function refusalOf(text: string): string {
  const { findings, format } = answerTo(text);
  expect(findings).toHaveLength(1);
  expect(format).toMatchObject({ kind: "refused", place: { line: findings[0]?.origin.start.line } });
  return findings[0]?.what ?? "";
}

describe("what is no protocol is refused in one sentence", () => {
  test("ten megabytes", () => {
    expect(refusalOf("finish\n".repeat(1_500_000))).toContain(
      "10\u202f500\u202f000 characters; at most 1\u202f000\u202f000",
    );
  });

  test("ten thousand levels of braces", () => {
    expect(refusalOf("repeat 2 times {\n".repeat(10_000))).toContain("deeper than 32");
  });

  test("ten thousand levels of parentheses", () => {
    expect(refusalOf(`dose a of b {\namount ${"(\n".repeat(10_000)}`)).toContain("deeper than 32");
  });

  test("a line of a page's length", () => {
    expect(refusalOf(`steps {\n  task "${"a".repeat(3_000)}"\n}\n`)).toContain(
      "This line has 3\u202f009 characters",
    );
  });

  test("more lines than a book", () => {
    expect(refusalOf("// a\n".repeat(70_000))).toContain("more than 60\u202f000 lines");
  });

  test("hundreds of braces that close nothing", () => {
    expect(refusalOf("}\n".repeat(300))).toContain("100 closing braces close nothing");
  });

  test("thousands of declarations", () => {
    expect(refusalOf("event a\n".repeat(3_000))).toContain("more than 2\u202f000 declarations");
  });

  test("thousands of lines that are not understood", () => {
    expect(refusalOf("dose\n".repeat(5_000))).toContain("too many lines cannot be understood");
  });

  test("a chain of hundreds of amounts", () => {
    expect(refusalOf(`dose a of b {\namount ${"1 mg +\n".repeat(500)} 1 mg\n}\n`)).toContain("too deep");
  });

  test("a chain of thousands that overflows the parser's stack", () => {
    expect(refusalOf(`dose a of b {\namount ${"half of\n".repeat(9_000)} 1 mg\n}\n`)).toContain("too deep");
  });

  test("and the next text is read as if nothing had been", () => {
    answerTo(`dose a of b {\namount ${"half of\n".repeat(9_000)} 1 mg\n}\n`);
    expect(answerTo("event a\n").findings).toEqual([]);
    expect(answerTo("event a\n").format).toEqual({ kind: "formatted", text: "event a\n" });
  });
});

describe("what once brought the checker down", () => {
  test.each([
    ["an agent without a name", "agent {\n  kind rescue\n}\n"],
    ["an agent without its code and its kind", "agent a {\n  atc\n  kind\n  diluted with\n  source\n}\n"],
    ["a setting without a rule", "local-rules a {\n  set 5 min\n  accept\n}\n"],
    ["a table without a variable", "dose a of b {\n  amount by { 3 kg 1 mg }\n}\n"],
    ["a place that is not said", "protocol a {\n  prepare {\n    iv-access\n  }\n}\n"],
    [
      "a patient without a variable",
      'protocol b { }\nscenario "a" for b {\n  patient age 3 years, 5 kg\n}\n',
    ],
    ["a use of a file that is no protocol", 'use "hostile.limb"\nuse "notes.txt"\n'],
    ["blocks that all lack their brace", "repeat 2 times\n".repeat(500)],
  ])("%s", (_name, text) => {
    expect(() => answerTo(text)).not.toThrow();
  });
});

describe("patients without a least weight", () => {
  const protocol = (amount: string) => `
agent lidocaine {
  kind local-anaesthetic
  concentration 0.5 %
  maximum 4 mg/kg
}
protocol a {
  patients {
    age 16 to 85 years
    weight under 130 kg
    systolic 90 to 180 mmHg
  }
  dose local of lidocaine {
    amount ${amount}
  }
}
`;
  const overMaximum = (amount: string) =>
    answerTo(protocol(amount)).findings.filter(({ rule }) => rule === "dose-over-maximum");

  test("still weigh something: a dose under the maximum is not found", () => {
    expect(overMaximum("2 mg/kg")).toEqual([]);
  });

  test("are found where a fixed dose is too much for the light ones", () => {
    expect(overMaximum("200 mg").map(({ patients }) => patients?.ranges)).toEqual([["under 50 kg"]]);
  });
});
