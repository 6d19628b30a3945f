import { describe, expect, test } from "vitest";
import { checkExample, READING } from "./page-examples.ts";
import { injected, small } from "./small-protocol.ts";

/** Sources of each drug: language/rules/agent-not-for-ivra/page.md. ATC codes: https://rxreasoner.com/atccodes/N01BB. */
describe("what may be injected", () => {
  const rule = "agent-not-for-ivra";
  const agent = (name: string, more = "") =>
    small(rule, {
      agents: `agent ${name} {\n  kind local-anaesthetic\n  concentration 0.25 %\n  ${more}\n}`,
      doses: injected("local", name.split(" ")[0] ?? "", "10 mL"),
      steps: "inject local",
      withoutFormulary: true,
    });

  test.each([
    ["levobupivacaine", ""],
    ["ropivacaine", ""],
    ["chloroprocaine", ""],
    ["bupivacaine-heavy", ""],
    ["bupivicaine", ""],
    ["local-mix", 'atc "N01BB01"'],
    ["local-mix", 'atc "n01bb10"'],
    ["lignocaine", 'atc "N01BB01"'],
    ["prilocaine", 'contraindicated "Not stocked"'],
    ['local-mix "Ropivacaine 0.2 %"', ""],
  ])("%s with %s is found", (name, more) => {
    const { findings } = agent(name, more);
    expect(findings.map(({ label }) => label)).toEqual(["not for intravenous regional anaesthesia"]);
  });

  test.each([
    ["lignocaine", 'atc "N01BB02"'],
    ["prilocaine", 'atc "N01BB04"'],
    ["prilocaine", ""],
  ])("%s with %s passes", (name, more) => {
    expect(agent(name, more).verdict).toBe("holds");
  });

  test.each([
    ["articaine", 'atc "N01BB08"'],
    ["mepivacaine", ""],
    ["lidocaine-adrenaline", ""],
    ["prilocaine", 'atc "N01BB08"'],
  ])("%s with %s is not decided", (name, more) => {
    expect(agent(name, more).verdict).toBe("not-decided");
  });

  test("a drug that nobody knows, of which not even the kind is written, is found, and not decided beside", () => {
    const parts = {
      agents: "agent mystery {\n  concentration 1 %\n}",
      doses: injected("local", "mystery", "10 mL"),
    };
    expect(
      small(rule, { ...parts, steps: "inject local" })
        .findings.map(({ what }) => what)
        .join(),
    ).toContain("mystery, a drug that is known here neither");
  });

  test("a drug that is given elsewhere, and not injected behind the cuff, is not judged here", () => {
    const doses = `${injected("local", "lidocaine", "50 mg")}\n  ${injected("other", "bupivacaine", "5 mg")}`;
    expect(small(rule, { doses, steps: "inject local\n    give other" }).verdict).toBe("holds");
  });

  test("no hospital can accept it", () => {
    const { check } = checkExample(
      'local-rules tarn-hollow {\n  accept agent-not-for-ivra because "Custom" by "Pharmacy" until 2027-01-31\n}',
      { about: READING },
    );
    expect(check.findings.map(({ what }) => what)).toContain(
      "A finding of `agent-not-for-ivra` cannot be accepted.",
    );
  });
});

describe("the formulary's maxima", () => {
  const rule = "agent-maximum-above-label";
  const formulary = (name: string, maxima: string, age?: string) =>
    small(rule, {
      agents: `agent ${name} {\n  kind local-anaesthetic\n  concentration 0.5 %\n  ${maxima}\n}`,
      doses: injected("local", name, "10 mL"),
      steps: "inject local",
      withoutFormulary: true,
      ...(age && { age }),
    });

  /** Lidocaine for this block: 4 mg/kg in adults, 3 mg/kg in children (US label, as above). */
  test("a protocol that covers children needs the children's maximum", () => {
    const adults = formulary("lignocaine", "maximum 4 mg/kg\n  maximum 300 mg");
    expect(adults.verdict).toBe("holds");
    const children = formulary("lignocaine", "maximum 4 mg/kg\n  maximum 300 mg", "10 to 85 years");
    expect(children.findings.map(({ what, next }) => [what, next])).toEqual([
      [
        "The formulary allows 4 mg/kg of lignocaine for a child (10 to 15 years); the most that is published is 3 mg/kg.",
        "Add `maximum 3 mg/kg for age 15 years and under`.",
      ],
    ]);
    const both = "maximum 4 mg/kg\n  maximum 3 mg/kg for age 15 years and under\n  maximum 300 mg";
    expect(formulary("lignocaine", both, "10 to 85 years").verdict).toBe("holds");
    const short = both.replace("15 years and under", "11 years and under");
    expect(formulary("lignocaine", short, "10 to 85 years").findings).toHaveLength(1);
  });

  /** Prilocaine 6 mg/kg, 600 mg are published for other blocks (Poisoning & Drug Overdose, table II-2; dental label, from memory). */
  test("prilocaine's maxima for other blocks are over those for this one", () => {
    const { findings } = formulary("prilocaine", "maximum 6 mg/kg\n  maximum 600 mg");
    expect(findings.map(({ label, severity }) => [label, severity])).toEqual([
      ["over the published 3 mg/kg", "unsafe"],
      ["over the published 400 mg", "unsafe"],
    ]);
  });

  test("a lower maximum beside a higher one makes up for it", () => {
    expect(formulary("prilocaine", "maximum 6 mg/kg\n  maximum 2.5 mg/kg\n  maximum 400 mg").verdict).toBe(
      "holds",
    );
  });

  test("a missing maximum by weight is unsafe, one in all doubtful", () => {
    expect(formulary("prilocaine", "maximum 400 mg").findings.map(({ severity }) => severity)).toEqual([
      "unsafe",
    ]);
    expect(formulary("prilocaine", "maximum 3 mg/kg").findings.map(({ severity }) => severity)).toEqual([
      "doubtful",
    ]);
  });

  test("a local anaesthetic of which no label is known is not decided", () => {
    expect(formulary("articaine", "maximum 5 mg/kg\n  maximum 300 mg").verdict).toBe("not-decided");
  });

  /** Lipid emulsion 12 mL/kg (UK card, as above); methylthioninium 7 mg/kg (https://abcmedicalnotes.com/topics/2779.php). */
  test("rescue drugs are held against their published maxima, as a mass too", () => {
    const rescue = (name: string, maximum: string, concentration: string) =>
      small(rule, {
        agents: `agent ${name} {\n  kind rescue\n  concentration ${concentration}\n  maximum ${maximum}\n}`,
        doses: `${injected("local", "lidocaine", "50 mg")}\n  ${injected("rescue", name, "10 mg")}`,
        steps: "inject local\n    give rescue",
      }).findings.map(({ label }) => label);
    expect(rescue("fat-emulsion", "12 mL/kg", "20 %")).toEqual([]);
    expect(rescue("fat-emulsion", "2.5 g", "20 %")).toEqual(["no maximum by weight"]);
    expect(rescue("fat-emulsion", "2400 mg/kg", "20 %")).toEqual([]);
    expect(rescue("fat-emulsion", "2401 mg/kg", "20 %")).toEqual(["over the published 12 mL/kg"]);
    expect(rescue("methylene-blue", "8 mg/kg", "5 mg/mL")).toEqual(["over the published 7 mg/kg"]);
  });

  test("a hospital's lower value counts, and a higher one is refused", () => {
    const { check } = checkExample(
      `local-rules tarn-hollow {
  set agent-maximum-above-label.lidocaine-per-weight 5 mg/kg because "Audit" by "Pharmacy"
}`,
      { about: READING },
    );
    expect(check.findings.filter((one) => one.rule === "parameter-not-allowed")).toHaveLength(1);
  });
});

/** ATC group N01B, local anaesthetics: https://rxreasoner.com/atccodes/N01BB (passage read). */
describe("a local anaesthetic under another kind", () => {
  const called = (rule: string, agent: string, step = "inject local") =>
    small(rule, {
      agents: `agent ${agent}`,
      doses: `dose local of ${agent.split(" ")[0]} {\n    amount 3 mg/kg\n  }`,
      steps: step,
      withoutFormulary: true,
    }).verdict;
  const lidocaine =
    "lignocaine {\n  kind rescue\n  concentration 2 %\n  maximum 4 mg/kg\n  maximum 300 mg\n}";

  test.each(["agent-not-plain", "injection-too-fast", "concentration-not-usual", "dose-without-cap"])(
    "is judged by %s as what it is",
    (rule) => {
      expect(called(rule, lidocaine)).toBe("broken");
    },
  );

  test("counts beside another one", () => {
    const agents = `agent ${lidocaine}\nagent prilocaine {\n  kind adjuvant\n  concentration 1 %\n  maximum 3 mg/kg\n}`;
    const doses = injected("local", "lignocaine", "3 mg/kg", "with prilocaine 2 mg/kg");
    const withoutFormulary = true;
    const rule = "combined-anaesthetics-over-maximum";
    expect(small(rule, { agents, doses, steps: "inject local", withoutFormulary }).verdict).toBe("broken");
  });

  test("is not known to be for this block because it is called an adjuvant", () => {
    const articaine = 'articaine {\n  kind adjuvant\n  atc "N01BB08"\n  concentration 1 %\n}';
    expect(called("agent-not-for-ivra", articaine)).toBe("not-decided");
  });
});
