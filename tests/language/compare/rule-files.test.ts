import { type CompiledVersion, chosenVersions, readCompiledVersion, Site } from "@limbwright/language";
import type { RuleFile } from "@limbwright/shared/rule-file";
import { describe, expect, test } from "vitest";
import { CATALOGUE_VERSION } from "../../../language/rules/engine/catalogue-version.ts";
import { randomProtocol } from "../../fuzz/random-protocol.ts";
import { again, seeds, someOf } from "../../questions.ts";
import { compiledFiles, exampleTexts } from "../rule-file/example-site.ts";
import { type Changeable, type Json, withDigestsOf } from "../rule-file/mutations.ts";
import { compared, compiled, versionOf } from "./compiled-sides.ts";
import { exampleText, lines, siteOf, WRIST } from "./two-versions.ts";

const texts = exampleTexts();
const EXAMPLES = new Site((file) => texts.get(file));
/** The first protocol of each file that can be compiled. */
const COMPILED = [...texts.keys()].flatMap((file) => {
  const first = compiledFiles().find((one) => one.file === file)?.compiled;
  return first?.kind === "written" ? [{ file, text: first.text }] : [];
});
const APPROVED = compiled(EXAMPLES, WRIST) ?? "";

describe("a protocol and the rule file that was just compiled from it have no change", () => {
  test.each(someOf(COMPILED))("$file", ({ file, text }) => {
    const comparison = compared(versionOf(text), [EXAMPLES, file]);
    expect({ lines: lines(comparison), outcome: comparison.outcome }).toEqual({
      lines: [],
      outcome: "nothing",
    });
  });

  test("also where the rule file is the new version, or both are", () => {
    const version = versionOf(APPROVED);
    expect(compared([EXAMPLES, WRIST], version).outcome).toBe("nothing");
    expect(compared(version, version).outcome).toBe("nothing");
  });

  test("where local rules set a number of a rule about the day, which no rule file has", () => {
    for (const days of [45, 60]) {
      const rules = [...texts].find(([file]) => file.endsWith("local-rules.limb"));
      if (!rules) throw new Error("no local rules");
      const setting = `set acceptance-ends-soon.days ${days} because "Own audit" by "Pharmacy"`;
      const changed = rules[1].replace("  set action-time", `  ${setting}\n  set action-time`);
      const site = new Site((file) => (file === rules[0] ? changed : texts.get(file)));
      const comparison = compared(versionOf(compiled(site, WRIST) ?? ""), [site, WRIST]);
      expect([comparison.outcome, ...lines(comparison)]).toEqual(["nothing"]);
    }
  });

  test("for generated protocols, too", { timeout: 300_000 }, () => {
    let count = 0;
    for (const seed of seeds(200)) {
      const site = new Site(() => randomProtocol(seed));
      const text = compiled(site, "protocol.limb");
      if (text === undefined) continue;
      count += 1;
      const comparison = compared(versionOf(text), [site, "protocol.limb"]);
      expect([comparison.outcome, ...lines(comparison)], again(seed)).toEqual(["nothing"]);
    }
    expect(count).toBeGreaterThan(0);
  });
});

test("a rule file says where each element was written, and in which file it is kept itself", () => {
  const now = siteOf({ [WRIST]: exampleText(WRIST).replace("up to 200 mg", "up to 250 mg") });
  const { before, changes } = compared(versionOf(APPROVED, "approved/wrist-1.4.0.json"), [now, WRIST]);
  expect(before).toMatchObject({ version: "1.4.0", ruleFile: "approved/wrist-1.4.0.json" });
  const line =
    exampleText(WRIST)
      .split("\n")
      .findIndex((one) => one.includes("up to 200 mg")) + 1;
  expect(changes[0]).toMatchObject({
    kind: "looser",
    before: { says: "3 mg/kg up to 200 mg", origin: { file: WRIST, start: { line } } },
  });
});

/** The rule file as another program would have written it, whole and with its digests. */
function writtenOtherwise(change: (file: Changeable<RuleFile>) => void): CompiledVersion {
  const file = JSON.parse(APPROVED);
  change(file);
  return versionOf(JSON.stringify(withDigestsOf(file as Json)));
}

function verdictIn({ proof }: Changeable<RuleFile>, rule: string) {
  const found = proof.verdicts.find((one) => one.rule === rule);
  if (!found) throw new Error(`the file has no ${rule}`);
  return found;
}

/** Without the verdicts of some rules; places in those after them are found under their new numbers. */
function leaveOutVerdicts(file: Changeable<RuleFile>, rules: readonly string[]): void {
  const kept = file.proof.verdicts.flatMap(({ rule }, at) => (rules.includes(rule) ? [] : [at]));
  const placed = Object.entries(file.origins).flatMap(([pointer, origin]) => {
    const [, number, rest = ""] = /^\/proof\/verdicts\/(\d+)(.*)$/.exec(pointer) ?? [];
    if (number === undefined) return [[pointer, origin] as const];
    const at = kept.indexOf(Number(number));
    return at < 0 ? [] : [[`/proof/verdicts/${at}${rest}`, origin] as const];
  });
  file.proof.verdicts = file.proof.verdicts.filter(({ rule }) => !rules.includes(rule));
  file.origins = Object.fromEntries(placed);
}

function parameterIn(file: Changeable<RuleFile>, rule: string, name: string) {
  const parameters = rule === "" ? file.proof.parameters : verdictIn(file, rule).parameters;
  const found = parameters.find((one) => one.name === name);
  if (!found) throw new Error(`${rule} has no ${name}`);
  return found;
}

describe("another catalogue of rules, for the very same protocol:", () => {
  const toToday = (change: (file: Changeable<RuleFile>) => void) => {
    const comparison = compared(writtenOtherwise(change), [EXAMPLES, WRIST]);
    expect(comparison.outcome).toBe("changed");
    return { told: lines(comparison), needed: comparison.version.needed };
  };

  test("its number and its new rules are told, and need a reader", () => {
    const { told, needed } = toToday((file) => {
      file.proof.catalogue = 2;
      leaveOutVerdicts(file, ["recovery-too-short", "trailing-zero"]);
      if (file.runs.kind !== "explored") throw new Error("no runs");
      for (const check of file.runs.automaton.checks) {
        if (check.rule === "recovery-too-short") check.rule = "early-release";
      }
    });
    expect(told).toEqual([
      `needs-a-reader verdict: It is judged by rule catalogue ${CATALOGUE_VERSION} now; before, by 2. Rules that are new: \`recovery-too-short\` and \`trailing-zero\`. What \`trailing-zero\` would find was not compared: the text is not in the rule file.`,
    ]);
    expect(needed).toBe("none");
  });

  test("a standard value that is lower now is looser, as a local rule would be", () => {
    const { told, needed } = toToday((file) => {
      const minimum = parameterIn(file, "early-release", "minimum");
      minimum.value = "35";
    });
    expect(told).toEqual([
      "looser local-rules: `early-release.minimum` is 30 min now; before, 35 min. Nobody set it: the standard value of the rules is another.",
    ]);
    expect(needed).toBe("first");
  });

  test("one that is higher now is tighter, and one without a direction is different", () => {
    const { told } = toToday((file) => {
      parameterIn(file, "early-release", "minimum").value = "25";
      parameterIn(file, "", "child-age").value = "14";
    });
    expect(told).toEqual([
      "tighter local-rules: `child-age` is 16 years now; before, 14 years. Nobody set it: the standard value of the rules is another.",
      "tighter local-rules: `early-release.minimum` is 30 min now; before, 25 min. Nobody set it: the standard value of the rules is another.",
    ]);
  });

  test("a rule that answers otherwise today is told, and that the protocol is not what changed", () => {
    const { told, needed } = toToday((file) => {
      const { rule, parameters } = verdictIn(file, "recovery-too-short");
      const at = file.proof.verdicts.findIndex((one) => one.rule === rule);
      file.proof.verdicts[at] = { rule, kind: "broken", unsafe: [], mayBeUnsafe: true, parameters };
    });
    expect(told).toEqual([
      "different verdict: `recovery-too-short` holds today for the very protocol of approved.json; when that file was compiled, it was broken. The rules have changed, not the protocol.",
    ]);
    expect(needed).toBe("none");
  });

  test("a parameter that is new, or no longer there, needs a reader", () => {
    const { told } = toToday((file) => {
      parameterIn(file, "early-release", "minimum").name = "least";
    });
    expect(told).toEqual([
      "needs-a-reader local-rules: `early-release.minimum`, 30 min, is asked for now, and was not before.",
      "needs-a-reader local-rules: `early-release.least` was 30 min when the earlier version was compiled; this program has no such parameter.",
    ]);
  });

  test("what the proof leant on then, and the runs of then, are held against those of today", () => {
    const { told } = toToday((file) => {
      if (file.runs.kind !== "explored" || !file.runs.envelope.release) throw new Error("no runs");
      file.runs.envelope.release.earliest.seconds = 1500;
      const leaning = file.proof.verdicts.find((one) => "assumptions" in one && one.assumptions?.length);
      if (!leaning || !("assumptions" in leaning)) throw new Error("nothing leans on anything");
      delete leaning.assumptions;
    });
    expect(told[0]).toMatch(/^different verdict: What `[a-z-]+` leans on in approved.json is otherwise/);
    expect(told[1]).toMatch(
      /^different verdict: The runs that stand in approved.json are others .* release from 25:00 to .* then, release from 30:00 to/,
    );
    expect(told.length).toBe(2);
  });

  test("the other way round, what the new version was judged by is told as well", () => {
    const old = writtenOtherwise((file) => {
      parameterIn(file, "early-release", "minimum").value = "35";
    });
    expect(lines(compared([EXAMPLES, WRIST], old))).toEqual([
      "tighter local-rules: `early-release.minimum` is 35 min now; before, 30 min. Nobody set it: the standard value of the rules is another.",
    ]);
  });
});

describe("a rule file is refused", () => {
  const refusal = (text: string) => {
    const reading = readCompiledVersion("approved.json", text);
    return reading.kind === "refused" ? reading.because : "read";
  };

  test("where its text is cut off, or of another kind", () => {
    expect(refusal(APPROVED.slice(0, -20))).toMatch(/^The text is not JSON\./);
    expect(refusal('{"name": "x"}')).toMatch(/This is no rule file/);
  });

  test("where a number was changed after it was compiled", () => {
    expect(refusal(APPROVED.replace('"value":"200"', '"value":"300"'))).toBe(
      "/digests/meaning: The digest is not that of the protocol in the file. The file was changed after it was compiled.",
    );
  });

  test("where its tables do not say what its formulas give, though the digests are right", () => {
    const file = JSON.parse(APPROVED);
    const dose = file.protocol.doses.find(({ name }: { name: string }) => name === "local");
    dose.amount.rows.at(-1).mass.value = "300";
    expect(refusal(JSON.stringify(withDigestsOf(file)))).toMatch(
      /^\/protocol\/doses\/.*The file says "300"; computed again it is "200"\./,
    );
  });

  test("where it does not say where its steps are written: they could not be told apart", () => {
    const file = JSON.parse(APPROVED);
    const [kept] = Object.keys(file.origins).filter((path) => /^\/protocol\/steps\/4$/.test(path));
    delete file.origins[kept ?? ""];
    expect(refusal(JSON.stringify(file))).toMatch(/^\/protocol\/steps\/4: The file does not say where/);
    file.origins[kept ?? ""] = file.origins["/protocol/steps/5"];
    expect(refusal(JSON.stringify(file))).toMatch(/^\/protocol\/steps\/5: The file does not say where/);
  });
});

test("of several rule files of one protocol the newest counts", () => {
  const version = (number: string, path: string) => {
    const text = exampleText(WRIST).replace("1.4.0", number);
    return versionOf(compiled(siteOf({ [WRIST]: text }), WRIST) ?? "", path);
  };
  const files = [version("1.4.0", "a.json"), version("1.10.0", "b.json"), version("1.9.2", "c.json")];
  const paths = (all: readonly CompiledVersion[]) => all.map(({ path }) => path);
  const { chosen, doubtful } = chosenVersions(files);
  expect([paths(chosen), doubtful]).toEqual([["b.json"], []]);
  const finished = files.map((one) => ({ ...one, file: { ...one.file, use: "protocol" as const } }));
  expect(paths(chosenVersions([...files, ...finished.slice(0, 1)]).chosen)).toEqual(["a.json"]);
  const other = { ...version("1.10.0", "d.json") };
  const changed = versionOf(
    compiled(
      siteOf({ [WRIST]: exampleText(WRIST).replace("1.4.0", "1.10.0").replace("200 mg", "180 mg") }),
      WRIST,
    ) ?? "",
    "e.json",
  );
  expect(chosenVersions([...files, other]).doubtful).toEqual([]);
  expect(chosenVersions([...files, changed]).doubtful.map(paths)).toEqual([["b.json", "e.json"]]);
});
