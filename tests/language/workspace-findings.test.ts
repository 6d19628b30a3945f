import { checkFiles, judgeFile, Site, workspaceFindings } from "@limbwright/language";
import type { Finding } from "@limbwright/shared/finding";
import { expect, test } from "vitest";
import { filesIn, textOf } from "../examples/site.ts";

const ON = "2026-11-25";
const FILES = [".", "protocols", "flawed", "retired", "scenarios"].flatMap(filesIn);

test("what files contribute one by one adds up to a check of the whole workspace", () => {
  const byCheck = new Map<string, Finding[]>();
  for (const { findings } of checkFiles(new Site(textOf), FILES, { on: ON, isWholeWorkspace: true })) {
    for (const finding of findings) {
      byCheck.set(finding.origin.file, [...(byCheck.get(finding.origin.file) ?? []), finding]);
    }
  }
  const site = new Site(textOf);
  const judged = FILES.flatMap((file) => judgeFile(site, file, { on: ON }) ?? []);
  const byFile = workspaceFindings(structuredClone(judged), ON);
  const withFindings = [...byFile].filter(([, findings]) => findings.length > 0);
  expect(Object.fromEntries(withFindings)).toEqual(Object.fromEntries(byCheck));
  expect(withFindings.length).toBeGreaterThan(14);
});

test("judged without the runs, a file says the same of every rule that is not put off", () => {
  const whole = new Site(textOf);
  const quick = new Site(textOf);
  let putOff = 0;
  for (const file of FILES) {
    const proven = judgeFile(whole, file, { on: ON })?.protocols ?? [];
    const atOnce = judgeFile(quick, file, { on: ON, withoutRuns: true })?.protocols ?? [];
    expect(proven.flatMap(({ pending }) => pending)).toEqual([]);
    atOnce.forEach(({ findings, verdicts, pending }, index) => {
      const isKept = ({ rule }: { rule: string }) => !pending.includes(rule);
      expect(findings).toEqual(proven[index]?.findings.filter(isKept));
      expect(verdicts.filter(isKept)).toEqual(proven[index]?.verdicts.filter(isKept));
      expect(verdicts.filter((verdict) => !isKept(verdict)).map(({ kind }) => kind)).toEqual(
        pending.map(() => "not-decided"),
      );
      putOff += pending.length;
    });
  }
  expect(putOff).toBeGreaterThan(100);
});

test("a file whose text has changed is read again, and with it every file that uses it", () => {
  const texts = new Map(FILES.map((file) => [file, textOf(file)]));
  const site = new Site((file) => texts.get(file));
  const wrist = "protocols/wrist-reduction.limb";
  const problems = () => judgeFile(site, wrist, { on: ON })?.protocols.flatMap(({ findings }) => findings);
  const before = problems();
  texts.set("formulary.limb", textOf("formulary.limb")?.replace("4 mg/kg", "2 mg/kg"));
  site.noteChange("formulary.limb");
  expect(problems()?.map(({ rule }) => rule)).toContain("dose-over-maximum");
  texts.set("formulary.limb", undefined);
  site.noteChange("formulary.limb");
  expect(judgeFile(site, wrist, { on: ON })?.inText.map(({ rule }) => rule)).toContain("use-not-found");
  texts.set("formulary.limb", textOf("formulary.limb"));
  site.noteChange("formulary.limb");
  expect(problems()).toEqual(before);
});
