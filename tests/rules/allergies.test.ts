import { describe, expect, test } from "vitest";
import { judged } from "./judged-sections.ts";

/** What `allergy-allowed` says of one line of the patients, in a protocol that gives lidocaine and has lipid at hand. */
function verdictOf(line: string, more = ""): string | undefined {
  const patients = `patients {\n  age 16 to 85 years\n  weight 45 to 130 kg\n  systolic 90 to 180 mmHg\n  circumference 25 to 40 cm\n  ${line}\n}`;
  return judged("allergy-allowed", `${patients}\n${more}`).verdict;
}

describe("an allergy that is allowed or a mere caution", () => {
  test.each([
    "caution allergy",
    'caution allergy "Lidocaine"',
    'caution allergy "Possible reaction to an amide"',
    'caution allergy "Latex or local anaesthetics"',
    'caution "Allergy to lignocaine, mild"',
    "allowed allergy",
    'allowed allergy because "Low dose"',
    'allowed allergy because "The anaesthetist decides, and antihistamine is given"',
    'allowed allergy "Lidocaine" because "Mild"',
    'allowed allergy "Allergy to lignocaine" because "Mild"',
    'allowed allergy "LIDOCAINE, a rash" because "Mild"',
    'allowed allergy "Prilocaine or mepivacaine" because "Another drug"',
    'allowed allergy "An amide" because "Mild"',
    'allowed allergy "Any local anesthetic" because "Mild"',
    'allowed allergy "Soya, as in lipid emulsion" because "Rescue only"',
    'allowed allergy "Procaine, and lidocaine once" because "Long ago"',
    'allowed "Allergy to lidocaine" because "Mild"',
    'allowed pregnancy "Also with an allergy to amides" because "Mild"',
  ])("is one to what is given: %s", (line) => {
    expect(verdictOf(line)).toBe("broken");
  });

  test.each([
    'contraindicated allergy "Lidocaine"',
    'caution allergy "Latex"',
    'allowed allergy "Latex" because "The cuffs have none"',
    'caution allergy "Egg or soya: the lipid emulsion holds both"',
    'caution allergy "Procaine"',
    'caution allergy "Any allergy other than to a local anaesthetic"',
    'caution allergy "Chlorhexidine or plasters"',
    'caution "Family history of malignant hyperthermia"',
    'allowed allergy "Procaine, an ester local anaesthetic" because "Lidocaine is an amide"',
    'allowed raynaud because "Short occlusion"',
    'allowed "Allergy to penicillin" because "None is given"',
    'allowed "Had lidocaine before" because "No harm"',
  ])("is no such one: %s", (line) => {
    expect(verdictOf(line)).toBe("holds");
  });

  test("to something that is not known here is not decided", () => {
    expect(verdictOf('allowed allergy "As in the chart" because "Asked each time"')).toBe("not-decided");
  });

  test("to an ester is one to what is given where the block is one", () => {
    const dose = "dose local of bupivacaine {\n  amount 1 mg/kg\n  over 90 s\n  with lidocaine 1 mg\n}";
    expect(verdictOf('allowed allergy "Bupivacaine" because "Mild"', dose)).toBe("broken");
    expect(verdictOf('allowed allergy "Esters" because "Another group"', dose)).toBe("holds");
  });

  test("to anti-inflammatory drugs is one to what is given where one is mixed in", () => {
    const agent =
      'agent ketorolac {\n  kind adjuvant\n  atc "M01AB15"\n  concentration 30 mg/mL\n  maximum 30 mg\n  source "Test"\n}';
    const dose = "dose local of lidocaine {\n  amount 3 mg/kg\n  over 90 s\n  with ketorolac 10 mg\n}";
    expect(verdictOf('caution allergy "NSAIDs"', `${dose}\n${agent}`)).toBe("broken");
    expect(verdictOf('caution allergy "NSAIDs"')).toBe("not-decided");
  });

  test("cannot be accepted", () => {
    const text =
      'local-rules tarn-hollow {\n  accept allergy-allowed because "We do" by "Lead" until 2027-01-01\n}';
    expect(judged("parameter-not-allowed", text).findings).toMatchObject([
      { what: "A finding of `allergy-allowed` cannot be accepted." },
    ]);
  });
});

describe("an allergy is decided", () => {
  test.each([
    ['contraindicated allergy "Allergy to an amide local anaesthetic"', "holds"],
    ["contraindicated allergy", "holds"],
    ['contraindicated allergy "Latex, lidocaine"', "holds"],
    ['contraindicated allergy "Any drug of this protocol"', "holds"],
    ['contraindicated allergy "Latex"', "broken"],
    ['caution allergy "Penicillin"', "broken"],
    ['contraindicated allergy "Procaine and other esters"', "broken"],
  ])("only where it is one to what is given: %s", (line, verdict) => {
    const patients = `patients {\n  age 16 to 85 years\n  weight 45 to 130 kg\n  systolic 90 to 180 mmHg\n  ${line}
      contraindicated sickle-cell\n  contraindicated vascular-disease\n  caution hypertension\n}`;
    expect(judged("condition-not-decided", patients).verdict).toBe(verdict);
  });
});
