import { coverageText, type ProtocolCoverage, togetherCovered } from "@limbwright/language";
import { expect, test } from "vitest";
import { ASKING, toldOf, withChanges } from "./marked-scenarios.ts";

/** What scenarios for the base protocol touch of it. */
function covered(text: string, others: Readonly<Record<string, string>> = {}): ProtocolCoverage {
  const [coverage, ...more] = toldOf(text, others).coverage;
  if (!coverage || more.length > 0) throw new Error("there is not one coverage");
  return coverage;
}

/** What some lines of a scenario touch. */
function coveredBy(...lines: readonly string[]): ProtocolCoverage {
  return covered(scenario(...lines));
}

function scenario(...lines: readonly string[]): string {
  return `scenario "One" for wrist-reduction {\n${lines.map((line) => `  ${line}\n`).join("")}}\n`;
}

function touched(of: readonly { readonly says: string; readonly isTouched: boolean }[]): string[] {
  return of.flatMap(({ says, isTouched }) => (isTouched ? [says] : []));
}

function rulesTouched({ rules }: ProtocolCoverage): string[] {
  return rules.flatMap(({ rule, isTouched }) => (isTouched ? [rule] : []));
}

test("a step is touched when a run has begun it, and no sooner", () => {
  const coverage = coveredBy("run to first inflation", "expect confirm distal allowed");
  expect(touched(coverage.steps)).toEqual([
    "apply cuffs",
    'task "Patient, limb, drug and dose read aloud"',
    "insert cannula",
    "exsanguinate by elevation",
    "exsanguinate by bandage",
    "inflate distal",
  ]);
  expect(touched(coverage.handlers)).toEqual([]);
  expect(coverage).toMatchObject({ protocol: "wrist-reduction", file: "protocol.limb" });
});

test("every step of the text is there once, in its order, also one that is taken twice or stands in a routine", () => {
  const { steps } = coveredBy("run to release", "expect deflate all due at 140 s");
  const places = steps.map(({ says, origin }) => `${origin.file} ${origin.start.offset} ${says}`);
  expect(new Set(places).size).toBe(places.length);
  const inRoutine = steps.filter(({ says }) => says === "deflate all for 10 s");
  expect(inRoutine.map(({ isTouched }) => isTouched)).toEqual([true]);
});

test("a handler is touched when it is entered, and with it the emergency that it leads to", () => {
  const pain = coveredBy(
    "run to start of procedure",
    "event tourniquet-pain happens",
    "expect inflate distal allowed",
  );
  expect(touched(pain.handlers)).toEqual(["tourniquet-pain"]);
  const toxicity = coveredBy(
    "run to release",
    "event toxicity-signs happens",
    "expect give lipid-bolus allowed",
  );
  expect(touched(toxicity.handlers)).toEqual([
    "hold reaches 35 min",
    "hold reaches 45 min",
    "toxicity-signs",
  ]);
  expect(touched(toxicity.steps)).toContain("go to emergency toxicity");
  expect(touched(toxicity.steps)).not.toContain("give lipid-bolus");
  const leak = coveredBy(
    "run to start of procedure",
    "event cuff-leak happens",
    "expect inflate all allowed",
  );
  expect(touched(leak.handlers)).toEqual(["cuff-leak"]);
});

test("an answer is touched when it is given", () => {
  const lines = [
    "run to start of procedure",
    'answer "Does the block cover the wound?" yes',
    "expect inject local allowed",
  ];
  const { steps } = covered(scenario(...lines), ASKING);
  expect(touched(steps)).toContain("Does the block cover the wound?: yes");
  expect(touched(steps)).not.toContain("Does the block cover the wound?: no");
});

test("a rule is touched when it is answered whether a step is refused by it, also where the answer is another", () => {
  const refused = (rule: string) => `expect deflate all for 10 s refused by ${rule}`;
  const coverage = coveredBy("run to start of procedure", refused("early-release"), refused("no-cuff-up"));
  expect(rulesTouched(coverage)).toEqual(["early-release", "no-cuff-up"]);
  expect(rulesTouched(coveredBy('task "Lunch" ends', refused("early-release")))).toEqual([]);
});

test("what several files touch of a protocol is added up", () => {
  const pain = coveredBy(
    "run to start of procedure",
    "event tourniquet-pain happens",
    "expect inflate distal allowed",
  );
  const early = coveredBy("run to end of local", "expect deflate all refused by early-release");
  const [whole, ...more] = togetherCovered([pain, early]);
  expect(more).toEqual([]);
  expect(whole && touched(whole.handlers)).toEqual(["tourniquet-pain"]);
  expect(whole && rulesTouched(whole)).toEqual(["early-release"]);
  expect(whole?.steps.length).toBe(pain.steps.length);
  expect(whole && touched(whole.steps)).toEqual(touched(pain.steps));
});

test("nothing is touched by a scenario that was not run, and nothing said where the protocol cannot be followed", () => {
  const nobody = coveredBy(
    "patient weight 20 kg",
    "run to release",
    "expect deflate all refused by early-release",
  );
  expect([...touched(nobody.steps), ...touched(nobody.handlers), ...rulesTouched(nobody)]).toEqual([]);
  const broken = withChanges(["    deflate distal\n", "    deflate dystal\n"]);
  expect(toldOf(scenario("expect apply cuffs allowed"), broken).coverage).toEqual([]);
  expect(toldOf(scenario("expect apply cufs allowed")).coverage).toEqual([]);
});

test("a protocol of which everything is touched is said to be, and one of which little is not, is told what", () => {
  const { steps, handlers, rules, ...protocol } = coveredBy("expect apply cuffs allowed");
  const all = <Item extends object>(items: readonly Item[]) =>
    items.map((item) => ({ ...item, isTouched: true }));
  const whole = { ...protocol, steps: all(steps), handlers: all(handlers), rules: all(rules) };
  const options = { colour: false, width: 100, verbose: false, textOf: () => undefined };
  expect(coverageText([whole], options)).toBe(
    "Scenarios touch every step, handler and rule of wrist-reduction (protocol.limb).\n\n",
  );
  const lacking = {
    ...whole,
    handlers: whole.handlers.map((one, index) => ({ ...one, isTouched: index > 0 })),
  };
  expect(coverageText([lacking], options)).toMatch(
    /^No scenario of wrist-reduction \(protocol\.limb\) touches:\n {2}Handlers: 1 of 6: `tourniquet-pain` \(line \d+\)\n\n$/,
  );
});
