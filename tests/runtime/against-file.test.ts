import type { RuleFile } from "@limbwright/shared/rule-file";
import { againstFile, type Reason, type StartOptions, start } from "@limbwright/shared/runtime";
import { describe, expect, test } from "vitest";
import { baseTexts, fileFrom, ON, textFrom } from "../language/rule-file/compiled.ts";
import { changedAt, type Json, withDigestsOf, withoutLostPlaces } from "../language/rule-file/mutations.ts";
import { eventFrom } from "./event-from.ts";
import { accepted, noneOf, PATIENT } from "./started-case.ts";

const APPROVED = 'approved by "Drugs committee" on 2026-09-14';

interface Asked {
  readonly status?: string;
  readonly changes?: readonly (readonly [from: string, to: string])[];
  readonly rules?: string;
  readonly formulary?: string;
  readonly draft?: true;
}

/** The rule file of the base example, approved where nothing else is said. */
function fileOf({
  status = APPROVED,
  changes = [],
  rules = "",
  formulary = "",
  draft,
}: Asked = {}): RuleFile {
  const base = baseTexts();
  const protocol = [["status    draft", `status    ${status}`] as const, ...changes].reduce(
    (text, [from, to]) => {
      if (!text.includes(from)) throw new Error(`the example does not say ${from}`);
      return text.replace(from, to);
    },
    base.get("protocol.limb") ?? "",
  );
  const texts = baseTexts({
    "protocol.limb": protocol,
    "formulary.limb": `${base.get("formulary.limb")}${formulary}`,
    "local-rules.limb": `local-rules tarn-hollow {\n  set action-time 75 s\n${rules}}\n`,
  });
  return fileFrom(textFrom(texts, "protocol.limb", { on: ON, draft: draft ?? false }));
}

/** Why the file is not followed: the names of what stands against it, or the kind where there is none. */
function refusals(file: RuleFile, options: StartOptions = { on: ON }): string[] {
  return reasonsFor(file, options).map((one) => ("name" in one ? `${one.kind} ${one.name}` : one.kind));
}

function reasonsFor(file: RuleFile, options: StartOptions): readonly Reason[] {
  const started = start(file, PATIENT, noneOf(file), options);
  return started.kind === "refused" ? started.reasons : [];
}

const words = (file: RuleFile, on = ON) => reasonsFor(file, { on }).map((one) => one.words);
const sound = fileOf();

test("a file that was compiled for use, and is approved and in date, is followed", () => {
  expect(refusals(sound)).toEqual([]);
  expect(refusals(sound, { on: "2027-06-30" })).toEqual([]);
  expect(againstFile(sound, { on: ON })).toEqual([]);
});

describe("it is not followed, and why is said, unless the caller names it:", () => {
  test.each([
    ["a protocol that is a draft", { status: "draft" }, "not-approved", "Nobody has approved the protocol"],
    ["one in review", { status: "in-review" }, "not-approved", "it is in review"],
    ["one that is retired", { status: "retired" }, "retired", "The protocol is retired."],
    [
      "one that is approved from a later day on",
      { status: 'approved by "Drugs committee" on 2026-11-26' },
      "not-approved",
      "approved from 2026-11-26 on, which has not come",
    ],
    [
      "one whose review is overdue",
      { changes: [["review by 2027-06-30", "review by 2026-11-24"]] as const },
      "overdue",
      "was to be reviewed by 2026-11-24, which is past",
    ],
    ["a file that was written as a draft", { draft: true as const }, "draft", "written as a draft"],
  ])("%s", (_, asked, name, says) => {
    const file = fileOf(asked);
    expect(refusals(file)).toEqual([`${name} ${name}`]);
    expect(words(file)[0]).toContain(says);
    expect(refusals(file, { on: ON, despite: [name] })).toEqual([]);
    expect(refusals(file, { on: ON, despite: ["something-else"] })).toEqual([`${name} ${name}`]);
  });

  test("all that stands against it is told at once, beside what stands against the patient", () => {
    const file = fileOf({
      status: "retired",
      changes: [["review by 2027-06-30", "review by 2026-11-24"]],
      draft: true,
    });
    const started = start(file, { ...PATIENT, weight: { value: "20", unit: "kg" } }, noneOf(file), {
      on: ON,
    });
    if (started.kind !== "refused") throw new Error("it was started");
    expect(started.reasons.map(({ kind }) => kind)).toEqual(["draft", "retired", "overdue", "not-covered"]);
  });

  test("a rehearsal gets no further", () => {
    const file = fileOf({ status: "draft" });
    expect(refusals(file, { on: ON, rehearsal: true })).toEqual(["not-approved not-approved"]);
    expect(refusals(file, { rehearsal: true })).toEqual(["no-day"]);
  });
});

describe("the day", () => {
  test("has to be given, and cannot be named away", () => {
    expect(refusals(sound, {})).toEqual(["no-day"]);
    expect(refusals(sound, { despite: ["no-day"] })).toEqual(["no-day"]);
  });

  test.each(["2026-02-30", "2027-1-1", "tomorrow", "", "2027-06-30T10:00"])(
    "is one of the calendar: %s",
    (on) => {
      expect(refusals(sound, { on })).toEqual(["no-day"]);
    },
  );

  test("need not be given where the file has no date", () => {
    const file = fileOf({ status: "draft", changes: [["  review by 2027-06-30\n", ""]] });
    expect(refusals(file, {})).toEqual(["not-approved not-approved"]);
    expect(refusals(file, { despite: ["not-approved"] })).toEqual([]);
  });

  test("before the protocol was approved is none on which it is followed", () => {
    expect(refusals(sound, { on: "2026-09-13" })).toEqual(["not-approved not-approved"]);
  });

  test("is asked as a case starts, and never in the middle of it", () => {
    const started = start(sound, PATIENT, noneOf(sound), { on: "2027-06-30" });
    if (started.kind === "refused") throw new Error("refused");
    const later = accepted(started.case.offer(eventFrom("start apply cuffs"), 86_400));
    expect(later.due(3 * 86_400).inHand).toBe("apply cuffs");
    expect(refusals(sound, { on: "2027-07-01" })).toEqual(["overdue overdue"]);
  });
});

const OVERDOSE = ["3 mg/kg up to 200 mg", "40 mL"] as const;
const NO_WAIT = ["    wait for hold\n", ""] as const;

describe("a rule whose breach is unsafe", () => {
  const broken = fileOf({ changes: [OVERDOSE, NO_WAIT], draft: true });

  test("and that is broken is told by its name, with what it found", () => {
    expect(refusals(broken)).toContain("broken dose-over-maximum");
    expect(refusals(broken)).toContain("broken early-release");
    expect(words(broken)).toContainEqual(
      "`dose-over-maximum`, whose breach is unsafe, is broken: `local` gives more lidocaine than 4 mg/kg: 45 kg to under 50 kg.",
    );
  });

  test("is not named by naming that the file is a draft, nor by naming another rule", () => {
    const left = refusals(broken, { on: ON, despite: ["draft", "early-release"] });
    expect(left).toContain("broken dose-over-maximum");
    expect(left).not.toContain("broken early-release");
  });

  test("stands in the way also when somebody turns the draft into a file for use", () => {
    const turned = structuredClone(broken) as unknown as { use: string; findings?: unknown };
    turned.use = "protocol";
    delete turned.findings;
    const file = fileFrom(JSON.stringify(withDigestsOf(withoutLostPlaces(turned as unknown as Json))));
    expect(refusals(file)).toContain("broken dose-over-maximum");
  });

  test("does not, where what it found is only doubtful", () => {
    const file = fileOf({
      changes: [
        ["3 mg/kg up to 200 mg", "3 mg/kg"],
        ["45 to 130 kg", "45 to 66 kg"],
      ],
    });
    expect(file.proof.verdicts).toContainEqual(expect.objectContaining({ kind: "broken", unsafe: [] }));
    expect(refusals(file)).toEqual([]);
  });
});

describe("what is accepted", () => {
  const NEVER =
    'require "Never so" { never drug in limb and since first inflation over 10 min }\n\n  prepare {';
  const accept = (rest: string) =>
    `  accept requirement-broken of "Never so" because "Trial" by "Lead" ${rest}\n`;
  const asked = (until: string) => ({
    changes: [["  prepare {", `  ${NEVER}`]] as const,
    rules: accept(`by "Pharmacy" until ${until}`),
  });
  const file = fileOf(asked("2027-01-31"));

  test("lets the file be followed up to its last day, and counts as broken from then on", () => {
    expect(refusals(file)).toEqual([]);
    expect(refusals(file, { on: "2027-01-31" })).toEqual([]);
    expect(refusals(file, { on: "2027-02-01" })).toEqual(["broken requirement-broken"]);
    expect(words(file, "2027-02-01")[0]).toMatch(
      /^`requirement-broken`, whose breach is unsafe, is broken; its acceptance ended on 2027-01-31: .+ "Never so"/,
    );
  });

  test.each([
    ["for longer than a year", "/proof/accepted/0/until", "2028-01-31"],
    ["past the review", "/proof/accepted/0/until", "2027-07-01"],
    ["by one role", "/proof/accepted/0/alsoBy", undefined],
    ["of something else", "/proof/accepted/0/subject", "Never that"],
    ["of everything", "/proof/accepted/0/subject", undefined],
    ["by another rule", "/proof/accepted/0/rule", "early-release"],
    ["without what was found", "/proof/accepted/0/findings", []],
  ])("covers nothing unsafe where a forger makes it %s", (_, path, value) => {
    const json = JSON.parse(JSON.stringify(file)) as Json;
    const forged = changedAt(json, path, () => value as Json | undefined);
    expect(refusals(fileFrom(JSON.stringify(withDigestsOf(withoutLostPlaces(forged)))))).toEqual([
      "broken requirement-broken",
    ]);
  });

  test("covers one finding of a rule and no other", () => {
    const two = fileOf({
      ...asked("2027-01-31"),
      changes: [
        ["  prepare {", `  ${NEVER}`],
        ["  prepare {", `  ${NEVER.replaceAll("Never so", "Never that")}`],
      ],
      draft: true,
    });
    expect(refusals(two, { on: ON, despite: ["draft"] })).toEqual(["broken requirement-broken"]);
    expect(words(two).at(-1)).toContain('"Never that"');
  });
});

describe("what is not decided", () => {
  const KETOROLAC =
    '\nagent ketorolac {\n  kind adjuvant\n  atc "M01AB15"\n  concentration 30 mg/mL\n  maximum 30 mg\n}\n';
  const ANSWER =
    '  answer maximum of ketorolac 30 mg source "Drug list" because "Wounds" by "Pharmacy" until 2027-01-31\n';
  const RULE = "agent-maximum-above-label";
  const mixed = {
    changes: [["    over   90 s to 3 min", "    over   90 s to 3 min\n    with ketorolac 20 mg"]] as const,
    formulary: KETOROLAC,
  };

  test("stands in the way by the name of its rule", () => {
    const file = fileOf({ ...mixed, draft: true });
    expect(refusals(file, { on: ON, despite: ["draft"] })).toEqual([`not-decided ${RULE}`]);
    expect(words(file).at(-1)).toContain("no published maximum of ketorolac is known here");
    expect(refusals(file, { on: ON, despite: ["draft", RULE] })).toEqual([]);
  });

  test("does not while it is answered, and does again from the day after", () => {
    const file = fileOf({ ...mixed, rules: ANSWER });
    expect(refusals(file, { on: "2027-01-31" })).toEqual([]);
    expect(refusals(file, { on: "2027-02-01" })).toEqual([`not-decided ${RULE}`]);
    expect(words(file, "2027-02-01")[0]).toContain(
      "the answer for the maximum of ketorolac ended on 2027-01-31",
    );
  });

  test("also beside something milder that the same rule found", () => {
    const formulary = KETOROLAC.replace("  maximum 30 mg\n", "  maximum 40 mg\n");
    const file = fileOf({ ...mixed, formulary, rules: ANSWER, draft: true });
    const verdict = file.proof.verdicts.find(({ rule }) => rule === RULE);
    expect(verdict).toMatchObject({ kind: "broken", answered: true });
    expect(refusals(file, { on: "2027-02-01", despite: ["draft"] })).toContain(`not-decided ${RULE}`);
    expect(refusals(file, { on: ON, despite: ["draft"] })).not.toContain(`not-decided ${RULE}`);
  });

  test("with an answer of a forger for longer than a year, or none at all", () => {
    const json = JSON.parse(JSON.stringify(fileOf({ ...mixed, rules: ANSWER }))) as Json;
    const refused = (path: string, value: Json) =>
      refusals(
        fileFrom(JSON.stringify(withDigestsOf(withoutLostPlaces(changedAt(json, path, () => value))))),
      );
    expect(refused("/proof/answers/0/until", "2036-01-01")).toEqual([`not-decided ${RULE}`]);
    expect(refused("/proof/answers", [])).toEqual([`not-decided ${RULE}`]);
  });
});
