import { describe, expect, test } from "vitest";
import { judged, patientsOf } from "./judged-sections.ts";

const RULE = "at-hand-too-little";

const prepare = (atHand: string) => `prepare {
  iv-access other-limb
  monitoring ecg, spo2, nibp every 5 min
  at-hand ${atHand}
  staff 2
  site-marked
}`;

/** 12 mL/kg at most, as in the UK theatre emergency card (passage read); here by boluses, or by an infusion as well. */
const plan = (doses: string, steps: string) => `emergency toxicity "Toxicity" {
  ${doses}
  task help "Call for help"
  ${steps}
}`;

const BOLUS =
  "dose lipid-bolus of lipid-emulsion {\n amount 1.5 mL/kg\n over 1 min\n repeat 2 times every 5 min\n}";
const INFUSION = "dose lipid-infusion of lipid-emulsion {\n rate 15 mL/kg/h\n total up to 12 mL/kg\n}";
const BOTH = plan(`${BOLUS}\n${INFUSION}`, "give lipid-bolus\n give lipid-infusion");

describe("what is at hand is held against what the protocol gives", () => {
  // 12 mL/kg for 45 to 130 kg: 540 to 1560 mL.
  test.each([
    ["lipid-emulsion 1560 mL", []],
    ["lipid-emulsion 1.56 L", []],
    ["lipid-emulsion 1200 mL", ["over 100 kg to 130 kg"]],
    ["lipid-emulsion 1 mL", ["every patient"]],
    ["lipid-emulsion", []],
    ['lipid-emulsion, "500 mL more in the next room"', []],
  ])("%s", (atHand, patients) => {
    expect(patientsOf(judged(RULE, `${prepare(atHand)}\n${BOTH}`))).toEqual(patients);
  });

  test("boluses and their repeats count, by themselves", () => {
    const alone = plan(BOLUS, "give lipid-bolus");
    // Three times 1.5 mL/kg: 585 mL at 130 kg.
    expect(judged(RULE, `${prepare("lipid-emulsion 585 mL")}\n${alone}`).verdict).toBe("holds");
    expect(judged(RULE, `${prepare("lipid-emulsion 584 mL")}\n${alone}`).verdict).toBe("broken");
  });

  test("in one branch of a question, and in whatever order", () => {
    const branch = plan(
      `${BOLUS}\n${INFUSION}`,
      'give lipid-infusion\n ask "Unstable?" {\n yes {\n give lipid-bolus\n }\n no { }\n }',
    );
    expect(judged(RULE, `${prepare("lipid-emulsion 1000 mL")}\n${branch}`).verdict).toBe("broken");
  });

  test("an infusion without a total is not decided", () => {
    const endless = plan(
      "dose lipid-infusion of lipid-emulsion {\n rate 15 mL/kg/h\n}",
      "give lipid-infusion",
    );
    expect(judged(RULE, `${prepare("lipid-emulsion 1000 mL")}\n${endless}`).verdict).toBe("not-decided");
  });
});
