import { readFileSync } from "node:fs";
import { join } from "node:path";
import { catalogue, hazardLog, hazardLogsOf, Site } from "@limbwright/language";
import { describe, expect, test } from "vitest";
import { leftToPeople } from "../../language/rules/hazards/hazards.ts";
import { checkSite } from "../examples/site.ts";
import { checkExample, examplesOf, laidOver } from "./page-examples.ts";

const RULES = join(import.meta.dirname, "../../language/rules");

test("every unsafe rule guards against a hazard of the log", () => {
  const homeless = catalogue.filter(({ severity, hazards }) => severity === "unsafe" && hazards.length === 0);
  const names = hazardLog.hazards.map(({ id }) => id).join(", ");
  const toDo = homeless.map(
    ({ id }) =>
      `language/rules/${id}/page.md: below \`why\` write \`hazards: [NAME]\` with one or more of ${names}. ` +
      "A hazard that is new is written in language/rules/hazards/hazards.yaml.",
  );
  expect(toDo).toEqual([]);
});

describe.each(hazardLog.hazards.map((hazard) => [hazard.id, hazard] as const))("%s", (_, hazard) => {
  const guards = hazard.guards.map(({ rule }) => rule);

  test("is shown by an example that breaks one of the rules that guard against it", () => {
    expect(guards).toContain(hazard.shownBy);
    const page = readFileSync(join(RULES, hazard.shownBy, "page.md"), "utf8");
    const [example] = examplesOf(page).filter(({ kind }) => kind === "breaks");
    const { check } = checkExample(example?.text ?? "", { before: example?.before, about: [hazard.shownBy] });
    expect(check.findings.map(({ rule }) => rule)).toContain(hazard.shownBy);
  });

  test.each(hazard.drafts)("is shown by the flawed draft %s", (draft) => {
    const checks = checkSite([`flawed/${draft}.limb`]);
    const found = checks.flatMap(({ findings }) => findings).map(({ rule }) => rule);
    expect(found.filter((rule) => guards.includes(rule))).not.toEqual([]);
  });
});

test("a check names what is left to people in sentences of the log", () => {
  const said = hazardLog.hazards.flatMap(({ inShort }) => inShort ?? []);
  expect(said.length).toBeGreaterThan(0);
  for (const words of said) expect(leftToPeople()).toContain(words);
});

describe("the log of a protocol", () => {
  function logOf(text: string) {
    const { file, files } = laidOver(text);
    const [log] = hazardLogsOf(new Site((name) => files.get(name)), file, { on: "2026-11-25" }) ?? [];
    if (!log) throw new Error("there is no protocol");
    return log;
  }

  function guard(log: ReturnType<typeof logOf>, hazard: string, rule: string) {
    const guards = log.hazards.find(({ id }) => id === hazard)?.guards;
    return guards?.find((one) => one.rule === rule)?.here;
  }

  test("says of each guard whether it holds, is broken or is not decided", () => {
    const log = logOf("dose local of lidocaine {\n  amount 40 mL\n  over 90 s to 3 min\n}");
    expect(guard(log, "overdose", "dose-over-maximum")).toMatchObject({
      is: "broken",
      findings: [{ severity: "unsafe", what: expect.stringContaining("4 mg/kg") }],
    });
    expect(guard(log, "overdose-in-sum", "cumulative-dose-over-maximum")?.is).toBe("holds");
    expect(guard(log, "not-what-was-decided", "version-not-raised")?.is).toBe("not-asked");
    const unread = logOf("dose local of lidocaine {\n  amount 40 mL for everybody\n  over 90 s to 3 min\n}");
    expect(guard(unread, "overdose", "dose-over-maximum")?.is).toBe("not-decided");
  });

  test("says what local rules set for a guard, and the texts that a person has to judge", () => {
    const { files } = laidOver("");
    const looser =
      'local-rules tarn-hollow {\n  set early-release.minimum 25 min because "Own audit" by "Lead"\n}\n';
    const site = new Site((name) => (name === "local-rules.limb" ? looser : files.get(name)));
    const [log] = hazardLogsOf(site, "protocol.limb", { on: "2026-11-25" }) ?? [];
    const here = log && guard(log, "released-too-early", "early-release");
    expect(here).toMatchObject({ is: "holds", settings: [{ because: "Own audit", by: "Lead" }] });
    expect(log?.about.notJudged.map(({ what }) => what)).toContain('task "Reduce and splint"');
  });
});
