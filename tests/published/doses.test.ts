import { rational } from "@limbwright/shared/quantity";
import { describe, expect, test } from "vitest";
import { doseOf, findingsOf, given, patient, protocolWith } from "./worked-dose.ts";

/*
 * Published doses of intravenous regional anaesthesia as inputs, and what the same or another source says of
 * them as outputs. Each source stands beside its check, with how far it was read. Values of sources check the
 * arithmetic of this program; they are not advice.
 */

const lidocaine = { agent: "lidocaine", concentration: "0.5 %" };
const over = (rule: string, text: string) =>
  findingsOf(rule, text).map(({ patients }) => patients?.ranges.join("; "));

describe("arithmetic that sources print", () => {
  // US lidocaine label, Table 1, row of intravenous regional anaesthesia (passage read):
  // https://www.pfizermedicalinformation.com/lidocaine-hydrochloride/dosage-admin
  test.each([
    ["10 mL", "50"],
    ["60 mL", "300"],
  ])("lidocaine 0.5 %%: %s are %s mg", (amount, mg) => {
    expect(given(doseOf(protocolWith({ ...lidocaine, amount })), patient({ weight: "70" })).mg).toBe(mg);
  });

  // Miller's Anesthesia, 6th edition, paediatric chapter (passage read):
  // http://noranaes.org/logbook/resources/Ebooks/Miller1/Miller%20-%20Anesthesia%206th%20Ed/das/book/body/0/1255/1332.html
  test("lidocaine 0.5 %, 3 mg/kg is 0.6 mL/kg", () => {
    const dose = doseOf(protocolWith({ ...lidocaine, amount: "3 mg/kg = 0.6 mL/kg" }));
    expect(given(dose, patient({ weight: "1" }))).toEqual({ mg: "3", mL: "0.6" });
    const text = protocolWith({ ...lidocaine, amount: "3 mg/kg = 0.6 mL/kg" });
    expect(findingsOf("amount-disagrees-with-concentration", text)).toEqual([]);
  });

  // An emergency-medicine handbook, p. 488 (passage read): https://issuhub.com/view/index/4321?pageIndex=513
  test("prilocaine 0.5 %, 2.5 mg/kg is 0.5 mL/kg", () => {
    const text = protocolWith({
      agent: "prilocaine",
      concentration: "0.5 %",
      amount: "2.5 mg/kg = 0.5 mL/kg",
    });
    expect(given(doseOf(text), patient({ weight: "1" }))).toEqual({ mg: "2.5", mL: "0.5" });
    expect(findingsOf("amount-disagrees-with-concentration", text)).toEqual([]);
  });

  // Clark N, Update in Anaesthesia 15 (passage read):
  // https://www.scribd.com/document/591630849/Uia-15-Intravenous-Regional-Anaesthesia-Bier-s-Block
  test("prilocaine 400 mg of 0.5 % are 80 mL; for 70 kg 5.71 mg/kg, which the source calls about 6", () => {
    const dose = doseOf(protocolWith({ agent: "prilocaine", concentration: "0.5 %", amount: "400 mg" }));
    expect(given(dose, patient({ weight: "70" }))).toEqual({ mg: "400", mL: "80" });
    expect(rational(400).div(70).round(2).toString()).toBe("5.71");
  });

  // ABC of Practical Procedures, Box 4.1 (passage read): http://pocayo.com/Tutorial/topic-208/ABC-of-Practical-Procedures-25.html
  test.each([
    ["bupivacaine", "0.5 %", "2 mg/kg", "150", "30"],
    ["lidocaine", "1 %", "4 mg/kg", "300", "30"],
  ])("75 kg, %s %s, %s: %s mg in %s mL", (agent, concentration, amount, mg, mL) => {
    const dose = doseOf(protocolWith({ agent, concentration, amount }));
    expect(given(dose, patient({ weight: "75" }))).toEqual({ mg, mL });
  });

  // The same box (passage read): 1 % is 1 g in 100 mL; 10 mL of 1 % are 100 mg.
  test.each([
    ["100 mL", "1000"],
    ["10 mL", "100"],
  ])("%s of 1 %% are %s mg", (amount, mg) => {
    const dose = doseOf(protocolWith({ agent: "lidocaine", concentration: "1 %", amount }));
    expect(given(dose, patient({ weight: "75" })).mg).toBe(mg);
  });

  // US lidocaine label, Table 1 (as above), and the box above (both passages read); label volumes for the salt:
  // https://fdocuments.us/document/en-242132-57264.html (passage read)
  test.each([
    ["0.2 %", "2"],
    ["0.25 %", "2.5"],
    ["0.375 %", "3.75"],
    ["0.5 %", "5"],
    ["1 %", "10"],
    ["1.5 %", "15"],
    ["2 %", "20"],
  ])("%s is %s mg/mL", (concentration, mg) => {
    const dose = doseOf(protocolWith({ agent: "lidocaine", concentration, amount: "1 mL" }));
    expect(given(dose, patient({ weight: "70" })).mg).toBe(mg);
  });
});

describe("published values that break another published value are found", () => {
  // Clark N, Update in Anaesthesia 15 (passage read; address above): 250 mg for 70 kg called "about 3 mg/kg".
  test("lidocaine 250 mg for 70 kg are 50 mL, but 3.57 mg/kg and not 3", () => {
    const only70 = ["age 18 to 80 years", "weight 70 to 70 kg", "systolic 90 to 180 mmHg"];
    const text = protocolWith({ ...lidocaine, amount: "250 mg", maxima: ["3 mg/kg"], patients: only70 });
    expect(given(doseOf(text), patient({ weight: "70" }))).toEqual({ mg: "250", mL: "50" });
    const [finding] = findingsOf("dose-over-maximum", text);
    expect(finding?.patients?.everybody).toBe(true);
    expect(finding?.patients?.worst?.says).toBe("250 mg = 3.57 mg/kg, 0.57 mg/kg over");
    const same = protocolWith({ ...lidocaine, amount: "250 mg = 3 mg/kg", patients: only70 });
    expect(findingsOf("amount-disagrees-with-concentration", same)).toHaveLength(1);
  });

  // US lidocaine label (passage read): https://prescriberpoint.com/therapies/lidocaine-hydrochloride-27b6ef5
  // prints 7 mg/kg as 3.5 mg/lb; one avoirdupois pound is 0.45359237 kg exactly (UCUM).
  test("7 mg/kg are 3.18 mg/lb: the label's 3.5 mg/lb is 10 % too much for everybody", () => {
    const perKilogram = rational("3.5").div(rational("0.45359237")).round(4).toString();
    const text = protocolWith({ ...lidocaine, amount: `${perKilogram} mg/kg`, maxima: ["7 mg/kg"] });
    const [finding] = findingsOf("dose-over-maximum", text);
    expect(finding?.patients?.everybody).toBe(true);
    expect(rational(perKilogram).div(7).sub(1).mul(100).round(0).toString()).toBe("10");
  });

  // The same label: the other two pairs agree within the rounding of the printed figure.
  test.each([
    ["3", "1.4", 1],
    ["4.5", "2", 0],
  ])("%s mg/kg are %s mg/lb as printed", (perKilogram, perPound, places) => {
    const exact = rational(perKilogram).mul(rational("0.45359237"));
    expect(exact.round(places).toString()).toBe(perPound);
  });

  // The same label (passage read): a child of 5 years and 50 lb, 75 to 100 mg. 50 lb are 22.68 kg.
  test.each(["75 mg", "100 mg"])(
    "a child of 22.68 kg given %s gets more than the label's 3 mg/kg",
    (amount) => {
      const child = ["age 5 to 5 years", "weight 22.68 to 22.68 kg", "systolic 90 to 110 mmHg"];
      const text = protocolWith({
        ...lidocaine,
        amount,
        maxima: ["3 mg/kg for age 15 years and under"],
        patients: child,
      });
      expect(over("dose-over-maximum", text)).toEqual(["every patient"]);
    },
  );

  // basicmedicalkey.com/bier-block, a handbook chapter (passage read): https://basicmedicalkey.com/bier-block
  test.each([
    ["0.5 %", "1 mL/kg", "upper-arm"],
    ["0.25 %", "2 mL/kg", "thigh"],
  ])(
    "the recipe lidocaine %s, %s on the %s is 5 mg/kg: over 4 mg/kg, and over 300 mg above 60 kg",
    (concentration, amount, place) => {
      const text = protocolWith({
        agent: "lidocaine",
        concentration,
        amount,
        place,
        maxima: ["4 mg/kg", "300 mg"],
      });
      expect(given(doseOf(text), patient({ weight: "1" })).mg).toBe("5");
      expect(over("dose-over-maximum", text)).toEqual(["every patient", "over 60 kg to 130 kg"]);
    },
  );

  // A regional-anaesthesia atlas (passage read): https://accessanesthesiology.mhmedical.com/content.aspx?bookid=518&sectionid=41534313
  test("the recipe 12 to 15 mL of lidocaine 2 % stays within 300 mg, but is no 0.5 %", () => {
    for (const amount of ["12 mL", "15 mL"]) {
      const text = protocolWith({ agent: "lidocaine", concentration: "2 %", amount, maxima: ["300 mg"] });
      expect(findingsOf("dose-over-maximum", text)).toEqual([]);
      expect(findingsOf("concentration-not-usual", text)).toHaveLength(1);
    }
  });
});

describe("limits worked out for every patient (arithmetic from the label's numbers)", () => {
  test("a fixed 40 mL of 0.5 % is over 3 mg/kg below 66.67 kg, and over 4 mg/kg below 50 kg", () => {
    const text = protocolWith({ ...lidocaine, amount: "40 mL", maxima: ["3 mg/kg", "4 mg/kg"] });
    expect(over("dose-over-maximum", text)).toEqual([
      "45 kg to under about 66.67 kg",
      "45 kg to under 50 kg",
    ]);
    expect(findingsOf("dose-over-maximum", text)[1]?.patients?.worst).toEqual({
      patient: "45 kg",
      says: "200 mg = 4.44 mg/kg, 0.44 mg/kg over",
    });
  });

  test("the cap of 300 mg binds 4 mg/kg from 75 kg, at 60 mL", () => {
    const dose = doseOf(protocolWith({ ...lidocaine, amount: "4 mg/kg up to 300 mg" }));
    const at = (weight: string) => given(dose, patient({ weight }));
    expect(at("74.9")).toEqual({ mg: "299.6", mL: "59.92" });
    expect(at("75")).toEqual({ mg: "300", mL: "60" });
    expect(at("130")).toEqual({ mg: "300", mL: "60" });
  });

  test("100 mL of 0.5 % for a thigh are 500 mg: over 300 mg for everybody, over 4 mg/kg below 125 kg", () => {
    const text = protocolWith({
      ...lidocaine,
      amount: "100 mL",
      place: "thigh",
      maxima: ["300 mg", "4 mg/kg"],
    });
    expect(over("dose-over-maximum", text)).toEqual(["every patient", "45 kg to under 125 kg"]);
  });

  // Weights from which caps bind: lidocaine 4.5 mg/kg and 300 mg (US label, passage read), prilocaine 6 mg/kg and
  // 400 mg, ropivacaine 3 mg/kg and 200 mg (Poisoning & Drug Overdose, Table II-2, a copy read:
  // https://aneskey.com/anesthetics-local), chloroprocaine 11 mg/kg and 800 mg (US label, passage read:
  // https://drugcentral.org/label/22cc5200-6998-4c70-a51a-49bf2ad8c52b/view).
  test.each([
    ["lidocaine", "4.5 mg/kg", "300 mg", "66.67"],
    ["prilocaine", "6 mg/kg", "400 mg", "66.67"],
    ["ropivacaine", "3 mg/kg", "200 mg", "66.67"],
    ["chloroprocaine", "11 mg/kg", "800 mg", "72.73"],
  ])("the cap of %s (%s, %s) binds from %s kg", (agent, perWeight, cap, from) => {
    const text = protocolWith({ agent, concentration: "0.5 %", amount: perWeight, maxima: [cap] });
    expect(over("dose-over-maximum", text)).toEqual([`over about ${from} kg to 130 kg`]);
  });
});
