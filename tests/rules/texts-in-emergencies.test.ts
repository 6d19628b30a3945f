import { describe, expect, test } from "vitest";
import { checkExample } from "./page-examples.ts";

const RULE = "text-lets-cuff-down";

function labels(sections: string): string[] {
  const { check } = checkExample(sections, { about: [RULE] });
  expect(check.findings.filter(({ severity }) => severity === "error")).toEqual([]);
  return check.findings.filter(({ rule }) => rule === RULE).map(({ label }) => label);
}

const emergency = (text: string, name = "toxicity") =>
  `emergency ${name} "Toxicity" {\n  dose lipid of lipid-emulsion {\n    amount 1.5 mL/kg\n    over 1 min\n  }\n  task help "${text}"\n  give lipid\n}`;

describe("a text lets the cuff down", () => {
  test.each([
    "Let the cuff down at once",
    "Call for help, let both cuffs down",
    "Release the tourniquet",
    "Call for help. Deflate the distal cuff",
    "Oxygen, then release the tourniquet",
    "Bring down the cuff",
    "Cuff off now",
    "The patient shakes; loosen the tourniquet",
  ])("in the treatment of toxicity: %s", (text) => {
    expect(labels(emergency(text))).toEqual(["lets the cuff down"]);
  });

  test("in the answer to a leak, in a branch of it, and as a note", () => {
    const answer = (steps: string) =>
      `throughout {\n  when toxicity-signs {\n    go to emergency toxicity\n  }\n  when cuff-leak {\n    ${steps}\n  }\n}`;
    expect(labels(answer('inflate all "Then let the other cuff down"\n    confirm all'))).toEqual([
      "lets the cuff down",
    ]);
    const branch =
      'inflate all\n    confirm all\n    ask "Firm?" {\n      yes {\n      }\n      no {\n        task "Release the tourniquet"\n      }\n    }';
    expect(labels(answer(branch))).toEqual(["lets the cuff down"]);
  });

  test("or has more injected", () => {
    expect(labels(emergency("Finish the injection"))).toEqual(["injects on"]);
  });
});

describe("a text is no order to let the cuff down", () => {
  test.each([
    "Stop. Call for help. A cuff that is up stays up.",
    "Cuff release is decided by the anaesthetist in charge",
    "Never let the cuff down",
    "Do not release the tourniquet",
    "Ask the anaesthetist whether to let the cuff down",
    "Keep the cuff up until lipid is in; who lets the cuff down is decided then",
    "Open the airway",
    "Release the tight collar",
    "Nobody may continue the injection",
  ])("%s", (text) => {
    expect(labels(emergency(text))).toEqual([]);
  });

  test("in an emergency that is part of the plan", () => {
    expect(labels(`${emergency("Let the cuff down", "surgery-over")}`)).toEqual([]);
  });
});
