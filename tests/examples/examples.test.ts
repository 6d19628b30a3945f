import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { KEYWORDS } from "../../language/grammar/generated/keywords.ts";
import { findingLines, markLines, marksOf, unsaid } from "../marked-text.ts";
import { checkSite, filesIn, textOf } from "./site.ts";

const SOUND = [...filesIn("."), ...filesIn("protocols"), ...filesIn("retired"), ...filesIn("scenarios")];
const FLAWED = filesIn("flawed");

describe("the protocols of the example hospital", () => {
  const checks = checkSite(SOUND);
  const protocols = checks.flatMap(({ protocols: judged }) => judged);

  test("cover both arm cuffs, calf, thigh, one cuff, no bandage, and prilocaine", () => {
    expect(protocols.map(({ protocol }) => protocol.name).sort()).toEqual([
      "ankle-reduction",
      "finger-suture",
      "foot-surgery",
      "hand-laceration",
      "injured-arm",
      "prilocaine-wrist",
      "thumb-suture",
      "wrist-reduction",
    ]);
  });

  test("have no finding that is not accepted", () => {
    const findings = checks.flatMap(({ findings: found }) => found);
    expect(findings.filter(({ accepted }) => !accepted).map(({ rule, what }) => `${rule}: ${what}`)).toEqual(
      [],
    );
  });

  test("have one finding that is accepted, for a reason", () => {
    const accepted = checks.flatMap(({ findings }) => findings).filter((finding) => finding.accepted);
    expect(accepted.map(({ rule, protocol }) => `${rule} in ${protocol}`)).toEqual([
      "dose-without-cap in ankle-reduction",
    ]);
  });

  test("break no rule", () => {
    const broken = protocols.flatMap(({ protocol, verdicts }) =>
      verdicts.filter(({ kind }) => kind === "broken").map(({ rule }) => `${protocol.name} ${rule}`),
    );
    expect(broken).toEqual(["ankle-reduction dose-without-cap"]);
  });
});

const REFERENCE = readFileSync(join(import.meta.dirname, "../../language/reference.md"), "utf8");

test("every word of the language stands in an example, of the hospital or of the reference", () => {
  const shown = [...REFERENCE.matchAll(/^```limb\n([\s\S]*?)^```$/gm)].map(([block]) => block);
  const text = [...SOUND.map((file) => textOf(file)), ...shown]
    .join("\n")
    .replace(/\/\/.*/g, "")
    .replace(/"[^"\n]*"/g, "");
  const words = new Set(text.match(/[a-z][a-z0-9-]*/g));
  expect([...KEYWORDS].filter((word) => !words.has(word)).sort()).toEqual([]);
});

describe("a flawed draft gets exactly the findings it marks", () => {
  const checks = checkSite(FLAWED);

  test.each(FLAWED.map((file) => [file]))("%s", (file) => {
    const marks = marksOf(textOf(file) ?? "");
    const findings = checks.find((check) => check.file === file)?.findings ?? [];
    expect(findingLines(findings)).toEqual(markLines(marks));
    expect(unsaid(marks, findings)).toEqual([]);
    expect(marks.length).toBeGreaterThan(0);
  });

  test("and the files they share get none", () => {
    const shared = checks.filter(({ file }) => !FLAWED.includes(file));
    expect(shared.flatMap(({ findings }) => findings).map(({ rule }) => rule)).toEqual([]);
  });
});
