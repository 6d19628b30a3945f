import { doseTablesOf, Site, sheetsOf, verifyRuleFile } from "@limbwright/language";
import { describe, expect, test } from "vitest";
import { baseTexts, compiledFrom, fileFrom, ON, textFrom } from "./compiled.ts";
import { changedAt, type Json, withDigestsOf, withoutLostPlaces } from "./mutations.ts";

const KETOROLAC =
  'agent ketorolac {\n  kind adjuvant\n  atc "M01AB15"\n  concentration 30 mg/mL\n  maximum 30 mg\n}\n';
const ANSWER =
  '  answer maximum of ketorolac 30 mg source "Drug list" because "Wounds" by "Pharmacy" until 2027-01-31\n';
const RULE = "agent-maximum-above-label";

/** The base example with a drug mixed in of which no published maximum is known. */
function texts({ rules = "", formulary = KETOROLAC, agent = "ketorolac" } = {}): Map<string, string> {
  const base = baseTexts();
  const protocol = base
    .get("protocol.limb")
    ?.replace("    over   90 s to 3 min", `    over   90 s to 3 min\n    with ${agent} 20 mg`);
  return baseTexts({
    "protocol.limb": protocol ?? "",
    "formulary.limb": `${base.get("formulary.limb")}\n${formulary}`,
    "local-rules.limb": `local-rules tarn-hollow {\n  set action-time 75 s\n${rules}}\n`,
  });
}

describe("while a rule whose breach is unsafe is not decided", () => {
  const site = (all: ReadonlyMap<string, string>) => new Site((file) => all.get(file));

  test("no rule file, no sheet and no table is written, and each says which rule and why", () => {
    const refused = {
      kind: "refused",
      because: `\`wrist-reduction\` is not written: \`${RULE}\`, whose breach is unsafe, is not decided.`,
      findings: [],
      open: [
        { rule: RULE, limit: expect.stringContaining("no published maximum of ketorolac is known here") },
      ],
    };
    expect(compiledFrom(texts())).toMatchObject(refused);
    expect(sheetsOf(site(texts()), "protocol.limb", { on: ON })).toMatchObject([refused]);
    expect(doseTablesOf(site(texts()), "protocol.limb", { on: ON })).toMatchObject([refused]);
  });

  test("a draft is, marked as one", () => {
    expect(compiledFrom(texts(), "protocol.limb", { draft: true })).toMatchObject({
      kind: "written",
      use: "draft",
    });
    expect(sheetsOf(site(texts()), "protocol.limb", { on: ON, draft: true })).toMatchObject([
      { kind: "written" },
    ]);
    expect(doseTablesOf(site(texts()), "protocol.limb", { on: ON, draft: true })).toMatchObject([
      { kind: "written" },
    ]);
  });

  test("an answer lets it be written, until it ends", () => {
    const answered = texts({ rules: ANSWER });
    expect(compiledFrom(answered)).toMatchObject({ kind: "written", use: "protocol" });
    expect(compiledFrom(answered, "protocol.limb", { on: "2027-01-31" })).toMatchObject({ kind: "written" });
    expect(compiledFrom(answered, "protocol.limb", { on: "2027-02-01" })).toMatchObject({
      kind: "refused",
      open: [{ rule: RULE, limit: expect.stringContaining("does not hold on 2027-02-01") }],
    });
  });

  test("what is decided beside it, is no way past it: one finding that is accepted, and another drug that is open", () => {
    const mepivacaine =
      "agent mepivacaine {\n  kind local-anaesthetic\n  concentration 1 %\n  plain\n  preservative-free\n  maximum 40 mg/kg\n}\n";
    const rules = `  accept ${RULE} because "Small doses" by "Pharmacy" until 2027-01-31\n`;
    const lidocaineWithoutMost =
      baseTexts().get("formulary.limb")?.replace("  maximum       300 mg\n", "") ?? "";
    const all = texts({ rules, formulary: mepivacaine, agent: "mepivacaine" });
    all.set("formulary.limb", `${lidocaineWithoutMost}\n${mepivacaine}`);
    const compiled = compiledFrom(all);
    if (compiled.kind !== "refused") throw new Error("it was written");
    expect(compiled.findings.filter(({ rule }) => rule === RULE)).toEqual([]);
    expect(compiled.open).toContainEqual(
      expect.objectContaining({ rule: RULE, limit: expect.stringContaining("mepivacaine") }),
    );
  });

  test("what the protocol leaves out is no way past it: cuffs that do not say which limbs they fit", () => {
    const without =
      baseTexts()
        .get("protocol.limb")
        ?.replace(/ {4}fits .*\n/, "") ?? "";
    expect(compiledFrom(baseTexts({ "protocol.limb": without }))).toMatchObject({
      kind: "refused",
      findings: [],
      open: [{ rule: "cuff-does-not-fit" }],
    });
  });
});

describe("a rule file with an answer", () => {
  const text = textFrom(texts({ rules: ANSWER }));

  test("lists it with its end, and no rule that it answers among those that are proven", () => {
    const { proof } = fileFrom(text);
    expect(proof.answers).toEqual([
      {
        agent: "ketorolac",
        limit: { value: "30", unit: "mg" },
        source: "Drug list",
        because: "Wounds",
        by: "Pharmacy",
        until: "2027-01-31",
      },
    ]);
    expect(proof.verdicts.find(({ rule }) => rule === RULE)?.kind).toBe("answered");
    const verification = verifyRuleFile(text, { on: ON });
    if (verification.kind !== "agrees") throw new Error(JSON.stringify(verification));
    expect(verification.proven).not.toContain(RULE);
    expect(verification.notProven).toContainEqual(expect.objectContaining({ rule: RULE, kind: "answered" }));
    expect(verification.decisions).toMatchObject([{ kind: "answered", rule: RULE, hasEnded: false }]);
  });

  test("is the same text on every day, also as a draft after its end", () => {
    const draft = (on: string) => textFrom(texts({ rules: ANSWER }), "protocol.limb", { on, draft: true });
    expect(draft("2027-02-01")).toBe(draft(ON));
    expect(textFrom(texts({ rules: ANSWER }), "protocol.limb", { on: "2027-01-31" })).toBe(text);
  });

  test("says from which day on it has ended", () => {
    const ended = (on: string) => {
      const verification = verifyRuleFile(text, { on });
      return verification.kind === "agrees" && verification.decisions.map(({ hasEnded }) => hasEnded);
    };
    expect(ended("2027-01-31")).toEqual([false]);
    expect(ended("2027-02-01")).toEqual([true]);
  });

  const forged = (path: string, change: (old: Json) => Json | undefined) =>
    verifyRuleFile(
      JSON.stringify(withDigestsOf(withoutLostPlaces(changedAt(JSON.parse(text), path, change)))),
    );

  test("differs when the answer is taken out, lowered under the formulary, or set past the review", () => {
    expect(forged("/proof/answers/0", () => undefined)).toMatchObject({ kind: "differs" });
    expect(forged("/proof/answers/0/limit/value", () => "10")).toMatchObject({ kind: "differs" });
    expect(forged("/proof/answers/0/limit/value", () => "61")).toMatchObject({ kind: "differs" });
    expect(forged("/proof/answers/0/until", () => "2036-01-01")).toMatchObject({ kind: "differs" });
  });

  test("is not read without its list, and differs when another rule is said to be answered", () => {
    expect(forged("/proof/answers", () => undefined)).toMatchObject({ kind: "unreadable" });
    const at = fileFrom(text).proof.verdicts.findIndex(({ rule }) => rule === "early-release");
    const answered = (old: Json): Json => {
      const { rule, parameters } = old as { rule: string; parameters: Json };
      return { rule, parameters, kind: "answered", mayBeUnsafe: true };
    };
    expect(forged(`/proof/verdicts/${at}`, answered)).toMatchObject({ kind: "differs" });
    const ofText = fileFrom(text).proof.verdicts.findIndex(({ rule }) => rule === "trailing-zero");
    expect(forged(`/proof/verdicts/${ofText}`, answered)).toMatchObject({ kind: "differs" });
  });

  test("that claims to be no draft, differs when an unsafe rule is not decided", () => {
    const draft = textFrom(texts(), "protocol.limb", { draft: true });
    const claimed = JSON.parse(draft) as { use: string; findings?: unknown };
    claimed.use = "protocol";
    delete claimed.findings;
    const verification = verifyRuleFile(JSON.stringify(withDigestsOf(withoutLostPlaces(claimed as Json))));
    if (verification.kind !== "differs") throw new Error(verification.kind);
    expect(verification.differences.map(({ where }) => where)).toContain("/use");
  });
});
