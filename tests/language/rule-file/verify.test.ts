import { compileFile, Site, verifyRuleFile } from "@limbwright/language";
import { describe, expect, test } from "vitest";
import { ON } from "./compiled.ts";
import { exampleTexts } from "./example-site.ts";

const texts = exampleTexts();
const site = new Site((file) => texts.get(file));
const compiled = [...texts.keys()].flatMap((file) =>
  (compileFile(site, file, { on: ON, draft: true }) ?? []).map((one) => ({ file, one })),
);

describe("a rule file that was just compiled", () => {
  test.each(compiled.map(({ file, one }) => [`${one.protocol} in ${file}`, one] as const))(
    "agrees with itself: %s",
    (_, one) => {
      if (one.kind === "refused") {
        expect(one.findings.some(({ severity }) => severity === "error")).toBe(true);
        return;
      }
      const verification = verifyRuleFile(one.text, { meaning: one.meaning });
      expect(verification).toMatchObject({ kind: "agrees", differences: [] });
    },
  );
});
