import { contraindicationsOf, type Patient, start } from "@limbwright/shared/runtime";
import { describe, expect, test } from "vitest";
import { baseTexts, fileFrom, textFrom } from "../language/rule-file/compiled.ts";
import { anyhow, noneOf, PATIENT, wristFile } from "./started-case.ts";

const file = wristFile();
const NONE = noneOf(file);

function reasons(patient: Patient, answers = NONE) {
  const started = start(file, patient, answers, anyhow(file));
  return started.kind === "refused" ? started.reasons : [];
}

test("a patient whom the protocol covers, and who has nothing that is contraindicated, is started", () => {
  expect(start(file, PATIENT, NONE, anyhow(file)).kind).toBe("started");
});

describe("a case is not started", () => {
  test("on a patient outside the box, in words and as data", () => {
    expect(reasons({ ...PATIENT, weight: { value: "44.9", unit: "kg" } })).toEqual([
      {
        kind: "not-covered",
        measure: "weight",
        words: "The patient's body weight is 44.9 kg; the protocol is for 45 kg to 130 kg.",
      },
    ]);
  });

  test("but it is on one at the very edge", () => {
    expect(reasons({ ...PATIENT, weight: { value: "45", unit: "kg" } })).toEqual([]);
    expect(reasons({ ...PATIENT, age: { value: "192", unit: "mo" } })).toEqual([]);
    expect(reasons({ ...PATIENT, circumference: { value: "400", unit: "mm" } })).toEqual([]);
  });

  test("after the last completed year of age that it covers, and not before", () => {
    const atAge = (value: string, unit: "a" | "mo" = "a") => reasons({ ...PATIENT, age: { value, unit } });
    expect(atAge("85")).toEqual([]);
    expect(atAge("1031", "mo")).toEqual([]);
    expect(atAge("86")).toMatchObject([
      { kind: "not-covered", words: "The patient's age is 86 years; the protocol is for 16 to 85 years." },
    ]);
    expect(atAge("1032", "mo")).toHaveLength(1);
    expect(atAge("15")).toHaveLength(1);
  });

  test("on an age in years where the protocol changes within that year, until it is told in months", () => {
    const inMonths = wristFile(["16 to 85 years", "198 months to 85 years"]);
    const kindsAt = (value: string, unit: "a" | "mo") => {
      const patient = { ...PATIENT, age: { value, unit } };
      const started = start(inMonths, patient, noneOf(inMonths), anyhow(inMonths));
      return started.kind === "refused" ? started.reasons.map(({ kind }) => kind) : [];
    };
    expect(kindsAt("16", "a")).toEqual(["not-precise"]);
    expect(kindsAt("197", "mo")).toEqual(["not-covered"]);
    expect(kindsAt("198", "mo")).toEqual([]);
    expect(kindsAt("17", "a")).toEqual([]);
  });

  test("nor where a maximum changes within that year, which is kept in months", () => {
    const formulary = baseTexts()
      .get("formulary.limb")
      ?.replace(
        "maximum       4 mg/kg",
        "maximum       4 mg/kg\n  maximum       3 mg/kg for age 199 months and under",
      );
    const changed = fileFrom(textFrom(baseTexts({ "formulary.limb": formulary ?? "" }), "protocol.limb"));
    const [lidocaine] = changed.protocol.agents;
    expect(lidocaine?.maxima.flatMap(({ ages }) => ages ?? [])).toEqual([
      { unit: "mo", upper: { closed: false, value: "200" } },
    ]);
    const patient: Patient = { ...PATIENT, age: { value: "16", unit: "a" } };
    const started = start(changed, patient, noneOf(changed), anyhow(changed));
    expect(started).toMatchObject({ kind: "refused", reasons: [{ kind: "not-precise" }] });
  });

  test("on a patient of whom a measure is missing, or no number", () => {
    const { systolic: _, ...unmeasured } = PATIENT;
    expect(reasons(unmeasured)).toEqual([
      {
        kind: "not-given",
        measure: "systolic",
        words:
          "The patient's systolic blood pressure is not known: the protocol cannot be followed without it.",
      },
    ]);
    const odd = { ...PATIENT, age: { value: "forty", unit: "a" } } as const;
    expect(reasons(odd)).toEqual([
      {
        kind: "not-readable",
        measure: "age",
        words: "The patient's age is given as `forty years`, which is no age with its unit.",
      },
    ]);
  });

  test.each([
    ["weight", { value: "100", unit: "mg" }],
    ["weight", { value: "60", unit: "a" }],
    ["age", { value: "60", unit: "kg" }],
    ["systolic", { value: "120", unit: "cm" }],
    ["circumference", { value: "30", unit: "mm[Hg]" }],
  ] as const)("where the %s is given in a unit of something else: %o", (measure, given) => {
    const odd = { ...PATIENT, [measure]: given };
    expect(reasons(odd as typeof PATIENT)).toMatchObject([{ kind: "not-readable", measure }]);
  });

  test("while a contraindication is not answered", () => {
    const [asked = "", ...others] = contraindicationsOf(file);
    expect(asked).toBe("Allergy to an amide local anaesthetic");
    const answers = Object.fromEntries(others.map((condition) => [condition, false]));
    expect(reasons(PATIENT, answers)).toEqual([
      {
        kind: "not-answered",
        condition: asked,
        words: `It was not said whether this contraindication is there: ${asked}.`,
      },
    ]);
  });

  test("on a patient who has one", () => {
    const answers = { ...NONE, "Sickle cell disease or trait": true };
    expect(reasons(PATIENT, answers)).toEqual([
      {
        kind: "contraindicated",
        condition: "Sickle cell disease or trait",
        words: "The patient has what the protocol names as a contraindication: Sickle cell disease or trait.",
      },
    ]);
  });

  test("and all that stands against it is told at once", () => {
    expect(reasons({}, {})).toHaveLength(4 + contraindicationsOf(file).length);
  });

  test("by a file whose runs were not gone through", () => {
    const unexplored = { ...file, runs: { kind: "not-explored", limit: "they are too many" } } as const;
    expect(start(unexplored, PATIENT, NONE, anyhow(file))).toEqual({
      kind: "refused",
      reasons: [
        { kind: "not-explored", words: "The runs of the protocol were not gone through: they are too many." },
      ],
    });
  });
});

describe("a rehearsal", () => {
  const rehearsed = (patient: Patient, answers = {}) =>
    start(file, patient, answers, { ...anyhow(file), rehearsal: true });

  test("starts without what was not said", () => {
    const started = rehearsed({ weight: { value: "60", unit: "kg" } });
    if (started.kind === "refused") throw new Error("refused");
    expect(started.case.dose("local")?.amount?.mass?.value).toBe("180");
    expect(started.case.pressure).toBeUndefined();
  });

  test("does not start on a patient outside the box, or with a contraindication", () => {
    expect(rehearsed({ weight: { value: "200", unit: "kg" } }).kind).toBe("refused");
    expect(rehearsed(PATIENT, { "Sickle cell disease or trait": true }).kind).toBe("refused");
  });
});

test("an answer that every object has by nature is no answer", () => {
  const odd = wristFile(['"Sickle cell disease or trait"', '"constructor"']);
  const answers = { ...NONE };
  delete answers["Sickle cell disease or trait"];
  const started = start(odd, PATIENT, answers, anyhow(odd));
  expect(started).toMatchObject({ kind: "refused", reasons: [{ kind: "not-answered" }] });
});
