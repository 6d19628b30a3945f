import { describe, expect, test } from "vitest";
import { checkExample } from "./page-examples.ts";

const LINE = "text-names-other-line";
const OPERATOR = "injected-by-operator";

function found(rule: string, text: string): string[] {
  const { check } = checkExample(text, { about: [rule] });
  expect(check.findings.filter(({ severity }) => severity === "error").map(({ what }) => what)).toEqual([]);
  return check.findings.filter((one) => one.rule === rule).map(({ severity }) => severity);
}

const steps = (inject: string, { cannula = "", work = "" } = {}) => `steps {
  apply cuffs
  insert cannula ${cannula}
  exsanguinate by elevation 1 min
  inflate proximal
  confirm proximal
  ${inject}
  ${work}
  wait for hold
  deflate all
  recovery 30 min
}`;

const noted = (note: string, more = {}) => found(LINE, steps(`inject local "${note}"`, more));

describe("a text at the injection", () => {
  test.each([
    "Through the line in the other arm",
    "Into the other hand",
    "Contralateral cannula",
    "Opposite side",
    "Use the rescue line",
    "Via the drip",
    "Central line",
    "Sound arm",
    "Back of the foot",
    "Femoral vein",
    "Away from the fracture, via the other arm",
    "Away from the fracture via the other arm",
    "Not too fast via the drip",
    "No bubbles. Other arm",
    "Through the rescue line in the other arm",
    "Rescue cannula",
  ])("that names another limb or line is doubtful: %s", (note) => {
    expect(noted(note)).toEqual(["doubtful"]);
  });

  test.each([
    "Not the line in the other arm",
    "The drip of the other arm stays closed",
    "Slowly, one hand on the cuff",
    "Back of the hand",
    "Watch for blanching of the forearm",
    "By hand, no pump",
    "Right through the cannula of this arm",
    "Nothing else connected",
    "Stand at the foot end",
    "Rescue line in the other arm",
    "Slowly; the line for rescue is in the other arm",
    "Lipid goes into the other arm, not this",
    "Away from the fracture",
    "Do not inject into the drip of the other arm",
    "Not into the drip, or the other arm",
  ])("that does not is not accused: %s", (note) => {
    expect(noted(note)).toEqual([]);
  });

  test("that names another side than the cannula is doubtful", () => {
    expect(noted("Left hand", { cannula: '"Left hand"' })).toEqual([]);
    expect(noted("Left hand", { cannula: '"Right hand"' })).toEqual(["doubtful"]);
    expect(noted("Left hand")).toEqual([]);
  });

  test("is read in handlers, branches, routines and at the cannula, too", () => {
    const other = 'inject top-up "Other arm"';
    const dose = "dose top-up of lidocaine { amount 20 mg\nover 90 s }";
    const local = "dose local of lidocaine { amount 2 mg/kg up to 100 mg\nover 90 s to 3 min }";
    const within = (work: string, more = "") =>
      found(LINE, `${local}\n${dose}\n${steps("inject local", { work })}\n${more}`);
    expect(
      within(`stage work { task "Suture" takes 5 min when block-incomplete once { ${other} } }`),
    ).toEqual(["doubtful"]);
    expect(within(`ask "More?" { yes { ${other} } no { } }`)).toEqual(["doubtful"]);
    expect(within("do again", `routine again { ${other} }`)).toEqual(["doubtful"]);
    expect(found(LINE, steps("inject local", { cannula: '"In the other arm"' }))).toEqual(["doubtful"]);
  });
});

describe("who injects", () => {
  const by = (role: string, work = "") => found(OPERATOR, steps(`inject local by "${role}"`, { work }));

  test.each([
    "surgeon",
    "Hand surgeon",
    "the operator",
    "orthopaedic registrar",
    "surgical trainee",
    "scrub nurse",
  ])("is doubtful where the role operates: %s", (role) => {
    expect(by(role)).toEqual(["doubtful"]);
  });

  test.each([
    "anaesthetist",
    "operating department practitioner",
    "nurse",
    "emergency physician",
    "doctor in charge of the block",
  ])("is not accused: %s", (role) => {
    expect(by(role)).toEqual([]);
  });

  test("is one who operates by what the protocol says", () => {
    expect(by("Doctor", 'task "Reduce and splint" by "doctor" takes 5 min')).toEqual(["doubtful"]);
    expect(by("anaesthetist", 'task "Explain" by "anaesthetist" takes 5 min')).toEqual([]);
  });

  test("may be said in a note", () => {
    expect(found(OPERATOR, steps('inject local "By the surgeon"'))).toEqual(["doubtful"]);
    expect(found(OPERATOR, steps('inject local "Tell the surgeon"'))).toEqual([]);
  });
});
