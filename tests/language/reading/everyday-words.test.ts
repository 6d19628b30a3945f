import { expect, test } from "vitest";
import { checkExample } from "../../rules/page-examples.ts";

/** What the first error of a text says to do next. */
function nextOf(text: string): string | undefined {
  return checkExample(text).check.findings.find(({ severity }) => severity === "error")?.next;
}

const dose = (amount: string, over = "90 s to 3 min") =>
  `dose local of lidocaine {\n  amount ${amount}\n  over ${over}\n}\n`;

test.each([
  [dose("3 mg/kg max 200 mg"), "up to"],
  [dose("3 mg per kg"), "3 mg/kg"],
  [dose("3 mg/kg", "90 s - 3 min"), "90 s to 3 min"],
  ["timer hold from end of lidocaine {\n  at least 30 min\n}\n", "`local`"],
])("everyday writing is answered with what the language writes: %#", (text, words) => {
  expect(nextOf(text)).toContain(words);
});

test("a name used with capitals is understood, and put right where it is used", () => {
  const { check } = checkExample("timer hold from end of Local {\n  at least 30 min\n  at most 50 min\n}\n");
  const [finding] = check.findings.filter(({ rule }) => rule === "name-badly-written");
  expect(finding?.repairs[0]?.changes[0]?.text).toBe("local");
  expect(check.findings.filter(({ severity }) => severity === "error")).toEqual([]);
});
