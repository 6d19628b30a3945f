import { verifyRuleFile } from "@limbwright/language";
import { describe, expect, test } from "vitest";
import { compiledFiles } from "./example-site.ts";

describe("a rule file that was just compiled", () => {
  test.each(
    compiledFiles().map(({ file, compiled }) => [`${compiled.protocol} in ${file}`, compiled] as const),
  )("agrees with itself: %s", (_, one) => {
    if (one.kind === "refused") {
      expect(one.findings.some(({ severity }) => severity === "error")).toBe(true);
      return;
    }
    const verification = verifyRuleFile(one.text, { meaning: one.meaning });
    expect(verification).toMatchObject({ kind: "agrees", differences: [] });
  });
});
