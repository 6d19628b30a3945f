import { describe, expect, test } from "vitest";
import { findingsOf, protocolWith } from "./worked-dose.ts";

/*
 * Published maxima, written into a formulary: what a label or handbook allows passes, more is found. Values check the
 * program; they are not advice.
 */

const withMaxima = (agent: string, ...maxima: string[]) =>
  protocolWith({ agent, concentration: "0.5 %", amount: "1 mg/kg", maxima });

const found = (text: string) => findingsOf("agent-maximum-above-label", text).map(({ what }) => what);

// US lidocaine label (passage read): https://prescriberpoint.com/therapies/lidocaine-hydrochloride-27b6ef5 : at most
// 4 mg/kg for adults, 3 mg/kg for children; its Table 1 (passage read), 50 to 300 mg:
// https://www.pfizermedicalinformation.com/lidocaine-hydrochloride/dosage-admin
describe("lidocaine for intravenous regional anaesthesia", () => {
  test("4 mg/kg and 300 mg pass", () => {
    expect(found(withMaxima("lidocaine", "4 mg/kg", "300 mg"))).toEqual([]);
  });

  // The same label allows 4.5 mg/kg for other blocks; it does not hold for this one.
  test.each([
    ["4.5 mg/kg", "300 mg"],
    ["4 mg/kg", "301 mg"],
  ])("%s with %s is found", (perWeight, most) => {
    expect(found(withMaxima("lidocaine", perWeight, most))).toHaveLength(1);
  });

  test("4 mg/kg for children is found where children are covered, 3 mg/kg passes", () => {
    const children = (perWeight: string) =>
      protocolWith({
        agent: "lidocaine",
        concentration: "0.5 %",
        amount: "1 mg/kg",
        maxima: [`${perWeight} for age 15 years and under`, "4 mg/kg", "300 mg"],
        patients: ["age 8 to 15 years", "weight 20 to 60 kg", "systolic 80 to 120 mmHg"],
      });
    expect(found(children("4 mg/kg"))).not.toEqual([]);
    expect(found(children("3 mg/kg"))).toEqual([]);
  });
});

// Prilocaine: 400 mg (Clark N, Update in Anaesthesia 15, passage read:
// https://www.scribd.com/document/591630849/Uia-15-Intravenous-Regional-Anaesthesia-Bier-s-Block), 3 mg/kg (Miller's
// Anesthesia, 6th edition, passage read); 600 mg is the limit of another route with adrenaline (Poisoning & Drug
// Overdose, Table II-2, a copy read: https://aneskey.com/anesthetics-local).
describe("prilocaine for intravenous regional anaesthesia", () => {
  test("3 mg/kg and 400 mg pass", () => {
    expect(found(withMaxima("prilocaine", "3 mg/kg", "400 mg"))).toEqual([]);
  });

  test.each([
    ["6 mg/kg", "400 mg"],
    ["3 mg/kg", "600 mg"],
  ])("%s with %s is found", (perWeight, most) => {
    expect(found(withMaxima("prilocaine", perWeight, most))).toHaveLength(1);
  });
});
