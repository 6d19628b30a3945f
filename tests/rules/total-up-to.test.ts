import { describe, expect, test } from "vitest";
import { injected, small } from "./small-protocol.ts";

const rule = "cumulative-dose-over-maximum";
const block = { doses: injected("local", "lidocaine", "2 mg/kg up to 150 mg"), steps: "inject local" };

/**
 * UK theatre emergency card, 20 % lipid: 1.5 mL/kg, the same at 5 and 10 min, 15 mL/kg/h, at most 12 mL/kg
 * (https://rightdecisions.scot.nhs.uk/sjh-theatres-and-anaesthetics/anaesthetic-emergencies/3-10-local-anaesthetic-toxicity).
 */
describe("boluses and an infusion, in any order", () => {
  const plan = (steps: string, rate = "15 mL/kg/h", bolus = "1.5 mL/kg", repeat = "") => ({
    ...block,
    more: `emergency toxicity "Toxicity" {
  dose lipid-bolus of lipid-emulsion {
    amount ${bolus}
    over 1 min
    ${repeat}
  }
  dose lipid-infusion of lipid-emulsion {
    rate ${rate}
    total up to 12 mL/kg
  }
  ${steps}
}`,
  });
  const found = (...of: Parameters<typeof plan>) => small(rule, plan(...of)).verdict;

  test.each([
    "give lipid-bolus\n give lipid-infusion",
    "give lipid-infusion\n give lipid-bolus",
    "give lipid-infusion\n wait 20 min\n give lipid-bolus",
    'give lipid-infusion\n wait 5 min\n ask "?" { yes { give lipid-bolus } no { } }',
    "give lipid-bolus\n give lipid-infusion\n repeat 2 times {\n wait 5 min\n give lipid-bolus\n }",
    'ask "?" { yes { give lipid-bolus\n give lipid-infusion } no { give lipid-infusion\n give lipid-bolus } }',
    "do both\n }\n routine both {\n give lipid-bolus\n give lipid-infusion\n wait 5 min\n give lipid-bolus",
  ])("are within it while the infusion cannot have come to its total: %s", (steps) => {
    expect(found(steps)).toBe("holds");
  });

  test.each([
    "give lipid-infusion\n wait 60 min\n give lipid-bolus",
    'give lipid-infusion\n repeat 2 times {\n task "See whether it helps"\n give lipid-bolus\n }',
    'give lipid-infusion\n task "See whether it helps"\n repeat 2 times {\n give lipid-bolus\n }',
    'repeat 2 times {\n give lipid-infusion\n task "See whether it helps"\n }\n give lipid-bolus',
    'give lipid-infusion\n task "Reassess"\n give lipid-bolus',
    "give lipid-bolus\n give lipid-infusion\n repeat 9 times {\n wait 5 min\n give lipid-bolus\n }",
    'give lipid-infusion\n ask "?" { yes { task "T" } no { } }\n give lipid-bolus',
    'ask "?" { yes { give lipid-infusion\n wait 60 min } no { wait 1 min } }\n give lipid-bolus',
    "give lipid-infusion\n confirm all else {\n wait 60 min\n }\n give lipid-bolus",
    "do late\n }\n routine late {\n give lipid-infusion\n wait 60 min\n give lipid-bolus",
    'stage s {\n give lipid-infusion\n task "T"\n when patient-distress once {\n give lipid-bolus\n }\n }',
  ])("are over it where it can have: %s", (steps) => {
    expect(found(steps)).toBe("broken");
  });

  test("how far it can have come is told by its rate", () => {
    // 0.25 mL/kg/min come to 12 - 1.5 mL/kg in 42 min.
    expect(found("give lipid-infusion\n wait 41 min\n give lipid-bolus")).toBe("holds");
    expect(found("give lipid-infusion\n wait 43 min\n give lipid-bolus")).toBe("broken");
    expect(found("give lipid-infusion\n wait 20 min\n give lipid-bolus", "60 mL/kg/h")).toBe("broken");
  });

  test("a bolus that is repeated beside it is late, too, where its repeats are", () => {
    const steps = "give lipid-bolus\n give lipid-infusion";
    expect(found(steps, "15 mL/kg/h", "1 mL/kg", "repeat 2 times every 5 min")).toBe("holds");
    expect(found(steps, "15 mL/kg/h", "1 mL/kg", "repeat 2 times every 30 min")).toBe("broken");
  });
});

test("a total where steps give fixed amounts limits nothing", () => {
  const capped = (name: string, amount: string) => injected(name, "lidocaine", amount, "total up to 150 mg");
  const doses = `${capped("local", "100 mg")}\n  ${capped("top-up", "100 mg")}`;
  const { findings } = small(rule, {
    doses,
    steps: "inject local\n    inject top-up\n    give top-up as infiltration",
  });
  expect(findings.map(({ patients }) => patients?.ranges)).toEqual([["45 kg to under 50 kg"]]);
  const inEvent =
    'inject local\n    stage s {\n task "T"\n when block-incomplete up to 3 times {\n inject top-up\n }\n }';
  expect(small(rule, { doses, steps: inEvent }).verdict).toBe("broken");
  expect(
    small("dose-over-maximum", {
      doses: injected("local", "lidocaine", "280 mg", "total up to 300 mg"),
      steps: "inject local",
    }).verdict,
  ).toBe("broken");
});
