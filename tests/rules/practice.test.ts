import { catalogue } from "@limbwright/language";
import { describe, expect, test } from "vitest";
import { cuffed, judged, patientsOf } from "./judged-sections.ts";
import { checkExample } from "./page-examples.ts";

describe("tables", () => {
  const table = (rows: string, weight = "45 to 130 kg") =>
    judged(
      "bands-leave-gap",
      `patients {\n  age 4 to 85 years\n  weight ${weight}\n  systolic 90 to 180 mmHg\n}
dose local of lidocaine {\n  amount by weight {\n${rows}\n  }\n  over 90 s\n}`,
    );

  // Summary of the ASRA 2020 checklist, reported elsewhere: "under 70 kg" and "over 70 kg".
  // https://www.staging.medscape.com/answers/1844551-62878/what-is-the-recommended-dosing-regimen-for-lipid-emulsion-therapy-for-local-anesthetic-toxicity
  test("of a published lipid scheme leave out a patient of exactly 70 kg", () => {
    const emergency = `emergency toxicity {
  dose lipid-bolus of lipid-emulsion {
    amount by weight {
      under 70 kg  1.5 mL/kg
      over 70 kg   100 mL
    }
    over 2 min to 3 min
  }
  task help "Call for help"
  task oxygen "Oxygen"
  give lipid-bolus
  task cuff-decision "Anaesthetist"
}`;
    const { findings, verdict } = judged("bands-leave-gap", emergency);
    expect(patientsOf({ findings })).toEqual(["exactly 70 kg"]);
    expect(verdict).toBe("broken");
  });

  test("name the hole between 49 and 50 kg, and say how to close it", () => {
    const { findings } = table("    45 to 49 kg  27 mL\n    50 kg and over  30 mL");
    expect(findings[0]?.what).toContain("between 49 and 50 kg");
    expect(patientsOf({ findings })).toEqual(["over 49 kg to under 50 kg"]);
    expect(findings[0]?.repairs[0]?.changes[0]?.text).toBe("45 kg to under 50 kg");
  });

  test("name patients who are covered twice, and say how to end the first row", () => {
    const { findings } = table("    45 to 55 kg  27 mL\n    50 kg and over  30 mL");
    expect(patientsOf({ findings })).toEqual(["50 to 55 kg"]);
    expect(findings[0]?.repairs[0]?.changes[0]?.text).toBe("45 kg to under 50 kg");
  });

  test("need no row for patients who are not covered", () => {
    const rows = "    under 70 kg  30 mL\n    over 70 kg  40 mL";
    expect(table(rows, "45 kg to under 70 kg").verdict).toBe("holds");
    expect(table(rows, "45 to 70 kg").verdict).toBe("broken");
  });

  test("by age follow each other from birthday to birthday", () => {
    const byAge = (...rows: readonly string[]) =>
      patientsOf(
        judged(
          "bands-leave-gap",
          `patients {\n  age 16 to 85 years\n  weight 45 to 130 kg\n  systolic 90 to 180 mmHg\n}
dose local of lidocaine {\n  amount by age {\n${rows.join("\n")}\n  }\n  over 90 s\n}`,
        ),
      );
    expect(byAge("16 to 64 years  40 mL", "65 to 85 years  30 mL")).toEqual([]);
    expect(byAge("16 to 64 years  40 mL", "66 to 85 years  30 mL")).toEqual(["age 65 years"]);
    expect(byAge("16 to 65 years  40 mL", "65 to 85 years  30 mL")).toEqual(["age 65 years"]);
    expect(byAge("16 to 64 years  40 mL", "780 months to 85 years  30 mL")).toEqual([]);
  });

  test("inside a row answer for the patients of that row", () => {
    const rows = `    45 kg to under 60 kg  (by age {
      11 years and under  20 mL
      13 years and over   25 mL
    })
    60 kg and over  30 mL`;
    expect(patientsOf(table(rows))).toEqual(["45 kg to under 60 kg, age 12 years"]);
  });

  test("let nothing be said to hold about doses while they have a fault", () => {
    const rows = "    45 to 60 kg  20 mL\n    50 kg and over  200 mL";
    const { check } = checkExample(
      `dose local of lidocaine {\n  amount by weight {\n${rows}\n  }\n  over 90 s\n}`,
    );
    const ofDoses = catalogue.filter(({ group }) => group === "dose").map(({ id }) => id);
    const verdicts = check.protocols[0]?.verdicts.filter(({ rule }) => ofDoses.includes(rule)) ?? [];
    expect(verdicts.map(({ kind }) => kind)).toContain("broken");
    expect(verdicts.filter(({ kind }) => kind === "holds")).toEqual([]);
  });

  test("whose patients state no weight are not decided at their ends", () => {
    const { findings, verdict } = judged(
      "bands-leave-gap",
      "patients {\n  age 16 to 85 years\n}\ndose local of lidocaine {\n  amount by weight {\n    45 kg to under 60 kg  20 mL\n    60 to 90 kg  30 mL\n  }\n  over 90 s\n}",
    );
    expect(findings).toEqual([]);
    expect(verdict).toBe("not-decided");
  });
});

const local = (amount: string, over = "over 90 s") =>
  `dose local of lidocaine {\n  amount ${amount}\n  ${over}\n}`;

describe("a greatest amount", () => {
  const capped = (amount: string) => judged("dose-without-cap", local(amount));

  // Handbook chapter, passage read: lidocaine 0.5 %, 1 mL/kg for an arm. https://basicmedicalkey.com/bier-block
  test("is missing from a recipe of 1 mL/kg: 650 mg at 130 kg", () => {
    expect(capped("1 mL/kg").findings[0]?.what).toContain("650 mg at 130 kg");
  });

  // Trial of a forearm cuff, abstract read: 0.4 mL/kg up to 25 mL.
  // https://paperexplained.cn/articles/paper/detail/bb1dda697c35a078c0a4d2743203ae97ab1fc7fa
  test("is there in 0.4 mL/kg up to 25 mL, however it is written", () => {
    expect(capped("0.4 mL/kg up to 25 mL").verdict).toBe("holds");
    expect(capped("lesser of 0.4 mL/kg and 25 mL").verdict).toBe("holds");
    expect(capped("0.4 mL/kg rounded down to 1 mL up to 25 mL").verdict).toBe("holds");
    expect(capped("0.4 mL/kg up to 25 mL rounded down to 1 mL").verdict).toBe("holds");
    expect(capped("greater of 0.4 mL/kg and 25 mL").verdict).toBe("broken");
    expect(capped("40 mL").verdict).toBe("holds");
  });

  test("is offered from the agent's maximum", () => {
    const { findings } = capped("3 mg/kg");
    expect(findings[0]?.repairs[0]?.changes[0]?.text).toBe(" up to 300 mg");
    expect(findings[0]?.severity).toBe("advice");
  });
});

describe("the time of the injection", () => {
  const injected = (over: string, rest = "") =>
    judged("injection-too-fast", `${local("30 mL", over)}\n${rest}`);

  // https://www.barnardhealth.us/emergency-medicine/table-3213-contraindications-to-bier-block.html, passage read: 2 min.
  test("of 2 min passes, and so does the common 90 s", () => {
    expect(injected("over 2 min").verdict).toBe("holds");
    expect(injected("over 90 s").verdict).toBe("holds");
    expect(injected("over 89 s to 5 min").verdict).toBe("broken");
  });

  test("is that of the step where the step says its own", () => {
    expect(injected("over 2 min", "steps {\n  inject local takes 30 s\n}").findings[0]?.what).toContain(
      "30 s",
    );
  });

  test("matters only for a dose that is injected", () => {
    expect(injected("over 5 s", "steps {\n  give local\n}").verdict).toBe("holds");
  });
});

describe("the volume", () => {
  const volume = (place: string, amount: string) =>
    patientsOf(
      judged(
        "volume-not-usual-for-limb",
        `${cuffed({ place, pressure: "systolic + 100 mmHg" })}\n${local(amount)}`,
      ),
    );

  // Clark N, Update in Anaesthesia 15, passage read: arm 40 mL, leg 60 mL.
  // https://www.scribd.com/document/591630849/Uia-15-Intravenous-Regional-Anaesthesia-Bier-s-Block
  // Below the knee, volunteers, abstract read: 40 mL. https://scilit.net/publications/0b748c851e46fa478821ab1889a972c5
  // Miller's Anesthesia, 6th edition, passage read: leg 50 to 100 mL. Forearm cuff, abstract read: 15 and 25 mL.
  // https://www.sciencerepository.org/comparison-of-low-doses-of-lidocaine_ACR-2024-1-101
  test("that is published for a limb is usual there", () => {
    expect(volume("upper-arm", "40 mL")).toEqual([]);
    expect(volume("thigh", "60 mL")).toEqual([]);
    expect(volume("thigh", "100 mL")).toEqual([]);
    expect(volume("calf", "40 mL")).toEqual([]);
    expect(volume("forearm", "25 mL")).toEqual([]);
    expect(volume("forearm", "15 mL")).toEqual([]);
  });

  // US product label, passage read: 10 to 60 mL of 0.5 %, wider than what is usual for an upper arm.
  // https://www.pfizermedicalinformation.com/lidocaine-hydrochloride/dosage-admin
  test("at the ends of the label's range is not", () => {
    expect(volume("upper-arm", "60 mL")).toEqual(["every patient"]);
    expect(volume("upper-arm", "10 mL")).toEqual(["every patient"]);
    expect(volume("upper-arm", "0.5 mL/kg up to 60 mL")).toEqual(["over 80 kg to 130 kg"]);
  });

  test("behind an ankle cuff is not decided", () => {
    const sections = `${cuffed({ place: "ankle", pressure: "systolic + 100 mmHg" })}\n${local("30 mL")}`;
    expect(judged("volume-not-usual-for-limb", sections).verdict).toBe("not-decided");
  });
});

describe("the state of the document", () => {
  test("is in time on the last day of its review, and overdue the day after", () => {
    // The examples are checked on 2026-11-25.
    expect(judged("review-overdue", "review by 2026-11-25").verdict).toBe("holds");
    expect(judged("review-overdue", "review by 2026-11-24").verdict).toBe("broken");
    expect(judged("review-overdue", "status retired\nreview by 2026-11-24").verdict).toBe("holds");
  });

  test("cannot be approved while a finding stands that is more than advice", () => {
    const approved = 'status approved by "Anaesthesia lead" on 2026-10-01\n';
    expect(judged("approved-with-findings", approved + local("40 mL")).findings[0]?.what).toContain(
      "dose-over-maximum",
    );
    expect(judged("approved-with-findings", approved + local("3 mg/kg")).findings[0]?.what).toContain(
      "dose-over-maximum",
    );
    expect(judged("approved-with-findings", approved + local("2 mg/kg")).verdict).toBe("holds");
  });
});
