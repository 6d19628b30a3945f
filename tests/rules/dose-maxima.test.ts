import { describe, expect, test } from "vitest";
import { judged, patientsOf } from "./judged-sections.ts";
import { injected, small } from "./small-protocol.ts";

/** A dose over the base protocol: 45 to 130 kg, 16 to 85 years; lidocaine 0.5 %, at most 4 mg/kg and 300 mg. */
function dose(amount: string): string {
  return `dose local of lidocaine {\n  ${amount}\n  over 90 s to 3 min\n}`;
}

/** US product label, lidocaine: at most 4 mg/kg in adults (https://prescriberpoint.com/therapies/lidocaine-hydrochloride-27b6ef5). */
describe("one dose against its maximum", () => {
  test("a fixed 40 mL of 0.5 % is over 4 mg/kg for 45 kg to under 50 kg", () => {
    const answer = judged("dose-over-maximum", dose("amount 40 mL"));
    expect(patientsOf(answer)).toEqual(["45 kg to under 50 kg"]);
    expect(answer.findings[0]?.what).toBe("`local` gives more lidocaine than 4 mg/kg: 45 kg to under 50 kg.");
    expect(answer.findings[0]?.patients?.worst).toEqual({
      patient: "45 kg",
      says: "200 mg = 4.44 mg/kg, 0.44 mg/kg over",
    });
  });

  /** 300 mg for everybody: US label, table 1 (https://www.pfizermedicalinformation.com/lidocaine-hydrochloride/dosage-admin). */
  test("100 mL of 0.5 % for a thigh is 500 mg: over 300 mg for everybody, over 4 mg/kg below 125 kg", () => {
    const { findings } = judged("dose-over-maximum", dose("amount 100 mL"));
    expect(findings.map(({ label, patients }) => [label, patients?.ranges])).toEqual([
      ["over 4 mg/kg", ["45 kg to under 125 kg"]],
      ["over 300 mg", ["every patient"]],
    ]);
    expect(findings[1]?.patients?.worst?.says).toBe("500 mg, 200 mg over");
    expect(findings[1]?.patients?.everybody).toBe(true);
  });

  /** The same label's range ends at 60 mL of 0.5 %, 300 mg. */
  test("60 mL of 0.5 % is 300 mg, within the maximum in all and over 4 mg/kg under 75 kg", () => {
    expect(patientsOf(judged("dose-over-maximum", dose("amount 60 mL")))).toEqual(["45 kg to under 75 kg"]);
  });

  test("4 mg/kg up to 300 mg is exactly the label's maximum, and holds", () => {
    expect(judged("dose-over-maximum", dose("amount 4 mg/kg up to 300 mg")).verdict).toBe("holds");
  });

  /** "lidocaine 0.5 %, 1 mL/kg" for an arm: https://basicmedicalkey.com/bier-block, a recipe above the label. */
  test("a published recipe of 1 mL/kg of 0.5 % is 5 mg/kg: over 4 mg/kg for everybody, over 300 mg above 60 kg", () => {
    const { findings } = judged("dose-over-maximum", dose("amount 1 mL/kg"));
    expect(findings.map(({ label, patients }) => [label, patients?.ranges])).toEqual([
      ["over 4 mg/kg", ["every patient"]],
      ["over 300 mg", ["over 60 kg to 130 kg"]],
    ]);
  });

  test("a drug without a maximum in the formulary is not decided, and so is one without it for some ages", () => {
    const agent = (maximum: string) =>
      `agent test-drug {\n  kind adjuvant\n  concentration 1 mg/mL\n  ${maximum}\n}`;
    const parts = { doses: injected("local", "test-drug", "10 mg"), steps: "inject local" };
    expect(small("dose-over-maximum", { ...parts, agents: agent("") }).limit).toBe(
      "the formulary gives test-drug no maximum",
    );
    const young = small("dose-over-maximum", {
      ...parts,
      agents: agent("maximum 20 mg for age 59 years and under"),
    });
    expect(young.limit).toBe("the formulary gives test-drug no maximum for age 60 to 85 years");
  });

  test("a rate without a total is not decided", () => {
    const doses = `dose drip of lipid-emulsion {\n    rate 15 mL/kg/h\n  }\n  ${injected("local", "lidocaine", "50 mg")}`;
    expect(small("dose-over-maximum", { doses, steps: "inject local\n    give drip" }).limit).toContain(
      "runs at a rate without `total up to`",
    );
  });
});

describe("doses added up", () => {
  const rule = "cumulative-dose-over-maximum";
  const local = injected("local", "lidocaine", "2 mg/kg up to 150 mg");

  test("a top-up in the plan counts on top of the first dose", () => {
    const doses = `${local}\n  ${injected("top-up", "lidocaine", "100 mg")}`;
    const { findings } = small(rule, { doses, steps: "inject local\n    inject top-up" });
    // 2w + 100 is over 4w under 50 kg.
    expect(findings.map(({ what }) => what)).toEqual([
      "`local` once and `top-up` once: together more lidocaine than 4 mg/kg (45 kg to under 50 kg).",
    ]);
  });

  test("a top-up that only an event gives counts as often as the event may happen", () => {
    const doses = `${local}\n  ${injected("top-up", "lidocaine", "80 mg")}`;
    const stage = (times: string) =>
      `inject local\n    stage procedure {\n      task "Work"\n      when block-incomplete ${times} {\n        inject top-up\n      }\n    }`;
    expect(small(rule, { doses, steps: stage("once") }).verdict).toBe("holds");
    // 2w up to 150 and 160: over 4w under 77.5 kg, and 310 mg from 75 kg on.
    const twice = small(rule, { doses, steps: stage("up to 2 times") });
    expect(twice.findings.map(({ what }) => what)).toEqual([
      "`local` once and `top-up` 2 times: together more lidocaine than 4 mg/kg (45 kg to under 77.5 kg).",
      "`local` once and `top-up` 2 times: together more lidocaine than 300 mg (over 70 kg to 130 kg).",
    ]);
    const events = twice.findings[0]?.run?.lines.filter(({ what }) => what === "block-incomplete");
    expect(events).toHaveLength(2);
  });

  test("handlers count per entry of their stage, so a repeated stage multiplies them", () => {
    const doses = `${local}\n  ${injected("top-up", "lidocaine", "20 mg")}`;
    const steps = (rounds: number) =>
      `inject local\n    repeat ${rounds} times {\n      stage procedure {\n        task "Work"\n        when block-incomplete up to 2 times {\n          inject top-up\n        }\n      }\n    }`;
    expect(small(rule, { doses, steps: steps(2) }).verdict).toBe("holds");
    // 2w and n times 20 mg are over 4w at 45 kg from n = 5 on.
    const [over] = small(rule, { doses, steps: steps(4) }).findings;
    expect(over?.what).toContain("`top-up` 5 times");
  });

  test("each way of answering a question is a plan of its own, and the two are not added up", () => {
    const doses = `${local}\n  ${injected("low", "lidocaine", "60 mg")}\n  ${injected("high", "lidocaine", "90 mg")}`;
    const asks = (yes: string, no: string) =>
      `inject local\n    ask "Is more needed?" {\n      yes {\n        ${yes}\n      }\n      no {\n        ${no}\n      }\n    }`;
    expect(small(rule, { doses, steps: asks("inject low", "inject high") }).verdict).toBe("holds");
    const { findings } = small(rule, {
      doses,
      steps: asks("inject low", "inject high\n        inject low\n        finish"),
    });
    expect(findings.map(({ label }) => label)).toEqual(["over 4 mg/kg in all"]);
  });

  test("what stands after `finish` is given in no run", () => {
    const doses = `${local}\n  ${injected("top-up", "lidocaine", "200 mg")}`;
    const steps =
      'inject local\n    ask "Is the block complete?" {\n      yes {\n        finish\n      }\n      no {\n        finish\n      }\n    }\n    inject top-up';
    expect(small(rule, { doses, steps }).verdict).toBe("holds");
  });

  test("a drug that is mixed into another dose counts for its own maximum", () => {
    const agents = `agent lidocaine-strong {\n  kind local-anaesthetic\n  atc "N01BB02"\n  concentration 2 %\n}\nagent ketorolac {\n  kind adjuvant\n  concentration 30 mg/mL\n  maximum 30 mg\n}`;
    const doses = `${injected("local", "lidocaine", "2 mg/kg up to 150 mg", "with ketorolac 20 mg")}\n  ${injected("pain", "ketorolac", "15 mg")}`;
    const { findings } = small(rule, { agents, doses, steps: "inject local\n    give pain" });
    expect(findings.map(({ what }) => what)).toEqual([
      "`local` once and `pain` once: together more ketorolac than 30 mg (every patient).",
    ]);
  });

  test("a drug in two strengths, known by its code, is one drug", () => {
    const agents = `agent strong-lidocaine {\n  kind local-anaesthetic\n  atc "N01BB02"\n  concentration 2 %\n}`;
    const doses = `${local}\n  ${injected("top-up", "strong-lidocaine", "5 mL")}`;
    const { findings } = small(rule, { agents, doses, steps: "inject local\n    inject top-up" });
    expect(findings.map(({ patients }) => patients?.ranges)).toEqual([["45 kg to under 50 kg"]]);
  });

  /**
   * UK theatre emergency card, 20 % lipid: 1.5 mL/kg, the same at 5 and 10 min, 15 mL/kg/h, at most 12 mL/kg
   * (https://rightdecisions.scot.nhs.uk/sjh-theatres-and-anaesthetics/anaesthetic-emergencies/3-10-local-anaesthetic-toxicity).
   */
  const lipid = (bolus: string, total: string) => `emergency toxicity "Toxicity" {
    dose lipid-bolus of lipid-emulsion {
      amount ${bolus}
      over 1 min
      repeat 2 times every 5 min
    }
    dose lipid-infusion of lipid-emulsion {
      rate 15 mL/kg/h
      ${total}
    }
    give lipid-bolus
    give lipid-infusion
  }`;
  const block = { doses: local, steps: "inject local" };

  test("the cap of an infusion holds for the boluses before it as well", () => {
    expect(small(rule, { ...block, more: lipid("1.5 mL/kg", "total up to 12 mL/kg") }).verdict).toBe("holds");
    const more = small(rule, { ...block, more: lipid("1.5 mL/kg", "total up to 13 mL/kg") });
    expect(more.findings.map(({ label }) => label)).toEqual(["over 12 mL/kg in all"]);
  });

  test("a cap takes nothing back: boluses that are over it alone count in full", () => {
    const { findings } = small(rule, { ...block, more: lipid("5 mL/kg", "total up to 12 mL/kg") });
    expect(findings[0]?.what).toContain(
      "`lipid-bolus` 3 times and `lipid-infusion` once: together more lipid-emulsion than 12 mL/kg",
    );
    // Three boluses, and what the infusion gives in the 10 min up to the last of them.
    expect(findings[0]?.patients?.worst?.says).toBe("875 mL = 17.5 mL/kg, 5.5 mL/kg over");
  });

  test("an infusion without a total is not decided", () => {
    expect(small(rule, { ...block, more: lipid("1.5 mL/kg", "") }).limit).toContain(
      "at a rate without `total up to`",
    );
  });

  test("a difference that falls under zero takes nothing out of the patient", () => {
    const doses = `${injected("local", "lidocaine", "4 mg/kg up to 300 mg")}\n  ${injected("top-up", "lidocaine", "60 mg - 1 mg/kg")}`;
    const errors = ["amount-not-possible"];
    const { findings } = small(rule, { doses, steps: "inject local\n    inject top-up", errors });
    expect(findings.map(({ patients }) => patients?.ranges)).toEqual([["45 kg to under 60 kg"]]);
  });

  test("ten thousand rounds of ten thousand doses are answered or given up, not waited for", () => {
    const steps = "repeat 10000 times {\n      repeat 10000 times {\n        inject local\n      }\n    }";
    const answer = small(rule, { doses: local, steps });
    expect(answer.findings.length + (answer.verdict === "not-decided" ? 1 : 0)).toBeGreaterThan(0);
  });
});

describe("several local anaesthetics", () => {
  const rule = "combined-anaesthetics-over-maximum";
  /** Prilocaine 3 mg/kg (Miller's Anesthesia, 6th edition) and 400 mg (Clark N, Update in Anaesthesia 15). */
  const prilocaine = (maxima = "maximum 3 mg/kg\n  maximum 400 mg") =>
    `agent prilocaine {\n  kind local-anaesthetic\n  concentration 0.5 %\n  ${maxima}\n}`;
  const two = (first: string, second: string) =>
    `${injected("local", "lidocaine", first)}\n  ${injected("top-up", "prilocaine", second)}`;
  const steps = "inject local\n    inject top-up";

  test("half the maximum of each of two is allowed, and a little more is not", () => {
    const doses = two("2 mg/kg up to 150 mg", "1.5 mg/kg up to 150 mg");
    expect(small(rule, { agents: prilocaine(), doses, steps }).verdict).toBe("holds");
    const over = small(rule, {
      agents: prilocaine(),
      doses: two("2 mg/kg up to 150 mg", "1.6 mg/kg up to 200 mg"),
      steps,
    });
    expect(over.findings.map(({ patients }) => patients?.ranges)).toEqual([["every patient"]]);
  });

  test("the amounts and fractions of a patient are told", () => {
    const { findings } = small(rule, { agents: prilocaine(), doses: two("100 mg", "100 mg"), steps });
    expect(findings[0]?.patients?.worst).toEqual({
      patient: "45 kg",
      says: "lidocaine 100 mg, 55.56 % of its maximum; prilocaine 100 mg, 74.07 % of its maximum; 129.63 % in all",
    });
  });

  test("one whole exactly is not over", () => {
    const { findings } = small(rule, {
      agents: prilocaine(),
      doses: two("4 mg/kg up to 300 mg", "0.01 mg"),
      steps,
    });
    expect(findings.map(({ patients }) => patients?.everybody)).toEqual([true]);
    const only = small(rule, {
      agents: prilocaine(),
      doses: two("2 mg/kg up to 150 mg", "1.5 mg/kg up to 200 mg"),
      steps,
    });
    // From 100 kg on 150 mg of 300 and 1.5 of 3 mg/kg are one whole; prilocaine's 400 mg bind only past 133 kg.
    expect(only.verdict).toBe("holds");
  });

  test("a second drug that only an event gives counts too", () => {
    const stage =
      'inject local\n    stage procedure {\n      task "Work"\n      when block-incomplete once {\n        inject top-up\n      }\n    }';
    const answer = small(rule, { agents: prilocaine(), doses: two("100 mg", "100 mg"), steps: stage });
    expect(answer.findings.map(({ what }) => what)).toEqual([
      "`local` once and `top-up` once: lidocaine and prilocaine together come to more than one whole maximum (45 kg to under about 58.33 kg).",
    ]);
  });

  test("a drug without a maximum or without a kind is not decided", () => {
    expect(small(rule, { agents: prilocaine(""), doses: two("100 mg", "10 mg"), steps }).limit).toBe(
      "the formulary gives prilocaine no maximum",
    );
    const kindless = "agent local-mix {\n  concentration 0.5 %\n  maximum 3 mg/kg\n}";
    const doses = two("100 mg", "10 mg").replace("prilocaine", "local-mix");
    expect(small(rule, { agents: kindless, doses, steps }).limit).toContain("what kind of drug");
  });
});

/** 1 % is 10 mg/mL: ABC of Practical Procedures, Box 4.1 (http://pocayo.com/Tutorial/topic-208/ABC-of-Practical-Procedures-25.html). */
describe("dilution and double amounts", () => {
  const dilution = (supply: string, concentration = "0.5 %") =>
    small("dilution-disagrees", {
      agents: `agent test-drug {\n  kind adjuvant\n  concentration ${concentration}\n  ${supply}\n}`,
      doses: injected("local", "test-drug", "10 mL", ""),
      steps: "inject local",
    });

  test("the arithmetic of a dilution is told in full", () => {
    expect(dilution("supplied as 2 % in 10 mL").findings[0]?.next).toContain(
      "10 mL of 2 % and 30 mL of diluent make 40 mL of 0.5 %.",
    );
  });

  test("percent and mg/mL are the same strength", () => {
    expect(dilution("supplied as 5 mg/mL in 50 mL").verdict).toBe("holds");
    expect(dilution("supplied as 10 mg/mL in 20 mL").findings).toHaveLength(1);
  });

  /** Lidocaine 0.5 %, 3 mg/kg are 0.6 mL/kg: Miller's Anesthesia, 6th edition, paediatric chapter. */
  test("3 mg/kg of 0.5 % are 0.6 mL/kg for every patient", () => {
    const rule = "amount-disagrees-with-concentration";
    expect(judged(rule, dose("amount 3 mg/kg = 0.6 mL/kg")).verdict).toBe("holds");
    expect(patientsOf(judged(rule, dose("amount 3 mg/kg = 0.61 mL/kg")))).toEqual(["every patient"]);
  });

  /** "400 mg, 70 kg, 80 mL of 0.5 %": Clark N, Update in Anaesthesia 15. */
  test("400 mg of 0.5 % are 80 mL", () => {
    const rule = "amount-disagrees-with-concentration";
    expect(judged(rule, dose("amount 400 mg = 80 mL")).verdict).toBe("holds");
  });
});

test("of an amount that is written twice each writing is held against the maximum", () => {
  const over = (amount: string) =>
    small("dose-over-maximum", { doses: injected("local", "lidocaine", amount), steps: "inject local" })
      .findings;
  expect(over("150 mg = 100 mL").map(({ label }) => label)).toEqual(["over 4 mg/kg", "over 300 mg"]);
  expect(over("320 mg = 64 mL").map(({ label }) => label)).toEqual(["over 4 mg/kg", "over 300 mg"]);
  expect(over("150 mg = 30 mL")).toEqual([]);
});

describe("amounts that nobody can give", () => {
  const rule = "amount-not-possible";
  const errors = [rule];

  test("an adjuvant and a rate are held against zero too", () => {
    const doses = `${injected("local", "lidocaine", "2 mg/kg up to 150 mg", "with lidocaine 45 mg - 1 mg/kg")}
  dose drip of lidocaine {
    rate 1 mg/kg/h rounded down to 50 mg/h
    total up to 100 mg
  }`;
    const { findings } = small(rule, { doses, steps: "inject local\n    give drip", errors: [rule, rule] });
    expect(findings.map(({ patients }) => patients?.ranges)).toEqual([
      ["every patient"],
      ["45 kg to under 50 kg"],
    ]);
    expect(findings[1]?.patients?.worst?.says).toBe("0 mg/h");
  });

  test("nothing about amounts is said to hold beside one", () => {
    const doses = injected("local", "lidocaine", "3 mg/kg up to 200 mg", "total up to 100 mg");
    expect(small(rule, { doses, steps: "inject local", errors }).verdict).toBe("broken");
    expect(small("dose-over-maximum", { doses, steps: "inject local", errors }).verdict).toBe("not-decided");
  });

  test("a total in mg without a concentration leaves an amount in mL undecided", () => {
    const agents = "agent thing {\n  kind adjuvant\n  maximum 100 mL\n}";
    const doses = injected("local", "thing", "10 mL", "total up to 100 mg");
    expect(small(rule, { agents, doses, steps: "inject local" }).limit).toContain("without a concentration");
  });
});
