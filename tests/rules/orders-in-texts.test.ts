import { describe, expect, test } from "vitest";
import { checkExample } from "./page-examples.ts";

const RULE = "order-in-text";

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

const plan = (task: string, rest = "") => `steps {
  apply cuffs
  insert cannula
  exsanguinate by elevation 1 min
  inflate proximal
  confirm proximal
  inject local
  stage procedure {
    task "Reduce" takes 5 min to 15 min
    ${task}
  }
  wait for hold
  do staged-release
  ${rest}
  recovery 30 min
}`;
const asTask = (text: string) => plan(`task "${text}" takes 10 s to 1 min`);

describe("a text of the plan", () => {
  test.each([
    ["lets the cuff down", "Deflate the cuff"],
    ["lets the cuff down", "Deflate the cuff when the surgeon has finished"],
    ["lets the cuff down", "If it hurts, let the tourniquet down"],
    ["lets the cuff down", "Turn the cuff off"],
    ["lets the cuff down", "Open the tourniquet"],
    ["lets the cuff down", "Take the tourniquet off"],
    ["lets the cuff down", "Remove the cuffs"],
    ["lets the cuff down", "Disconnect the proximal cuff"],
    ["lets the cuff down", "Deflating the cuff"],
    ["lets the cuff down", "Let proximal down"],
    ["lets the cuff down", "Tourniquet release"],
    ["lowers the pressure", "Drop the pressure to zero"],
    ["lowers the pressure", "Lower the cuff pressure by 100 mmHg"],
    ["lowers the pressure", "Reduce the tourniquet's pressure"],
    ["swaps the cuffs", "Swap the cuffs"],
    ["swaps the cuffs", "Switch to the distal cuff"],
    ["injects on", "Inject the rest of the syringe"],
    ["injects on", "Give the rest"],
    ["injects on", "Repeat the injection"],
    ["injects on", "Top up the block"],
    ["nobody watches", "Send the patient home"],
    ["nobody watches", "Move the patient to the ward"],
    ["nobody watches", "Switch the monitor off"],
    ["nobody watches", "Leave the room"],
  ])("%s: %s", (label, text) => {
    expect(labels(asTask(text))).toEqual([label]);
  });

  test("in the answer to an event of the stage, as a note, in a branch, in an emergency of the plan", () => {
    expect(labels(plan('when surgery-done {\n task "Release the cuff" takes 1 s to 9 s\n }'))).toEqual([
      "lets the cuff down",
    ]);
    expect(labels(plan('task "Reduce again" "then deflate the cuff"'))).toEqual(["lets the cuff down"]);
    expect(labels(plan('ask "Done?" {\n yes { task "Cuff down" takes 1 s to 9 s }\n no { }\n }'))).toEqual([
      "lets the cuff down",
    ]);
    expect(labels(plan("").replace("recovery 30 min", 'recovery 30 min "Nobody has to stay"'))).toEqual([
      "nobody watches",
    ]);
    expect(labels(emergency("Let the cuff down", "surgery-over"))).toEqual(["lets the cuff down"]);
  });

  test("may take the cuffs off after the last deflation, and say what its own step does", () => {
    expect(labels(plan("", 'task "Remove the cuffs" takes 10 s to 1 min'))).toEqual([]);
    expect(labels(plan('when surgery-done {\n deflate all "Let the cuff down slowly"\n }'))).toEqual([]);
  });

  test.each([
    "Reduce and splint",
    "Raise the cuff pressure by as much as systolic has risen",
    "Find the leak; change the cuff",
    "Check that the cuff is firm; the distal cuff stays flat",
    "Warn the patient before the cuff is let down",
    "Nobody lets the cuff down before 30 min",
    "Record the time of cuff release",
    "Press on the puncture, release pressure on the puncture after 2 min",
    "Lower the arm",
    "Remove the splint",
    "Cuff pressure read aloud every 5 min",
    "Bandage off the tourniquet side",
    "Open the wound, wash out",
    "Check the blood pressure; keep it down",
    "Somebody stays with the patient; never leave the patient",
    "Discuss going home with the patient",
    "Alarms on, monitor in sight",
  ])("is no order: %s", (text) => {
    expect(labels(asTask(text))).toEqual([]);
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

  test.each([
    "Deflate the cuff if the anaesthetist says so",
    "If it hurts, ask whether to release the tourniquet",
  ])("in the treatment of toxicity, under a condition: %s", (text) => {
    expect(labels(emergency(text))).toEqual([]);
  });
});
