import { expect, test } from "vitest";
import { checkExample } from "./page-examples.ts";

const RULE = "dose-in-text";

function found(text: string): string[] {
  const { check } = checkExample(text, { about: [RULE] });
  expect(check.findings.filter(({ severity }) => severity === "error").map(({ what }) => what)).toEqual([]);
  return check.findings
    .filter(({ rule }) => rule === RULE)
    .map(({ severity, label }) => `${severity}: ${label}`);
}

/** Steps with one more behind the injection. */
const steps = (step: string, more = "") => `steps {
  apply cuffs
  insert cannula
  exsanguinate by elevation 1 min
  inflate proximal
  confirm proximal
  inject local
  ${step}
  wait for hold
  deflate all
  recovery 30 min
}
${more}`;

const TASK: (text: string) => string = (text) => steps(`task "${text}" takes 1 min to 5 min`);

test.each([
  ["Surgeon infiltrates 20 mL of lidocaine 1 %", "a dose"],
  ["Suture with infiltration by the surgeon's own rules", "a dose"],
  ["Infiltrate the wound edges", "a dose"],
  ["Ring block by the surgeon", "a dose"],
  ["Digital nerve block, bupivacaine", "a dose"],
  ["More local anaesthetic from the surgeon", "a dose"],
  ["Top up with local as needed", "a dose"],
  ["Some local into the wound", "a dose"],
  ["Lignocaine 1 %, 10 ml", "a dose"],
  ["Inject 0.2 mL/kg more", "a dose"],
  ["Give another 10 to 15 mL", "a dose"],
  ["Give 5 mg iv", "a dose"],
  ["50 micrograms iv", "a dose"],
  ["Ephedrine 6 mg if the pressure falls", "a dose"],
  ["Give adrenaline", "a dose"],
  ["Midazolam 5 mg and propofol", "sedation"],
  ["Midazolam, not more than 5 mg", "sedation"],
  ["Propofol", "sedation"],
  ["Light sedation", "sedation"],
  ["Sedate the patient", "sedation"],
  ["Ketamine 0.5 mg/kg", "sedation"],
  ["A small dose of opioid", "sedation"],
  ["Fentanyl 50-100 mcg", "sedation"],
  ["No adrenaline. Give morphine 2 mg", "sedation"],
  ["Midazolam 2 mg now. Take-home codeine", "sedation"],
  ["Infiltrate before the patient goes home", "a dose"],
])("a task that gives a drug is doubtful: %s", (text, label) => {
  expect(found(TASK(text))).toEqual([`doubtful: ${label} in words`]);
});

test.each([
  "Clean and suture",
  "Saline flush, 10 mL",
  "Flush with 10 mL",
  "One 10 mL syringe ready",
  "Keep the pressure at 250 mmHg for 45 min",
  "22 G in the other arm",
  "Ask about G6PD deficiency and serotonergic drugs",
  "Ask about allergy to lidocaine",
  "Allergy to an amide local anaesthetic asked",
  "Cuff release is decided by the anaesthetist in charge",
  "Oxygen, airway",
  "Oxygen 100 %, 10 L/min",
  "Saturation under 90 % for 5 min",
  "No sedation",
  "Do not sedate, and do not give midazolam",
  "Never give more local anaesthetic",
  "Stop giving local anaesthetic",
  "Box for local anaesthetic toxicity",
  "By local policy",
  "Is the cannula infiltrated?",
  "Watch for lidocaine toxicity",
  "Read the ampoule aloud: lidocaine 0.5 %",
  "Drowsy? Look for a seizure",
  "Explain, distract, give the analgesic that was agreed",
  "Blood sample, 5 mL",
  "500 mL of crystalloid",
  "Haemoglobin over 100 g/L, glucose 90 mg/dL",
  "Hand ultrasound: no block of the view",
  "Reduce and splint",
])("a text that gives no drug is not accused: %s", (text) => {
  expect(found(TASK(text))).toEqual([]);
});

const DRUG = "Midazolam 2 mg";

test.each([
  ["a note", steps(`wait 5 min "${DRUG}"`)],
  ["a note on the injection", steps("wait 5 min").replace("inject local", `inject local "Then ${DRUG}"`)],
  ["a question", steps(`ask "Give ${DRUG}?" { yes { } no { } }`)],
  ["one branch of a question", steps(`ask "Restless?" { yes { task "${DRUG}" takes 1 min } no { } }`)],
  ["a step for a cuff that is not firm", steps(`confirm proximal else { task "${DRUG}" takes 1 min }`)],
  ["a repeat", steps(`repeat 2 times { task "${DRUG}" takes 1 min }`)],
  [
    "an answer of a stage",
    steps(
      `stage work { task "Suture" takes 5 min when patient-distress once { task "${DRUG}" takes 1 min } }`,
    ),
  ],
  ["a routine", steps("do calm", `routine calm { task "${DRUG}" takes 1 min }`)],
  [
    "an answer that is always in force",
    `throughout { when patient-distress once { task "${DRUG}" takes 1 min } when toxicity-signs { go to emergency toxicity } }`,
  ],
  [
    "an emergency",
    steps(
      "wait 1 min",
      `throughout { when patient-distress once { go to emergency upset } when toxicity-signs { go to emergency toxicity } }\nemergency upset "Upset" { task "${DRUG}" }`,
    ),
  ],
  [
    "the preparation",
    `prepare { iv-access other-limb\nmonitoring ecg, spo2, nibp every 5 min\nat-hand lipid-emulsion\nstaff 2\nsite-marked\n"${DRUG}" }`,
  ],
])("it is found wherever a text may stand: %s", (_, text) => {
  expect(found(text)).toEqual(["doubtful: sedation in words"]);
});

test("sedation is told with what it hides", () => {
  const { check } = checkExample(TASK("Light sedation"), { about: [RULE] });
  expect(check.findings.find(({ rule }) => rule === RULE)?.why).toContain(
    "hides the early signs of toxicity",
  );
});

test("what is at hand, and a drug named in an emergency without an amount, passes", () => {
  const prepared = (text: string) =>
    `prepare { iv-access other-limb\nmonitoring ecg, spo2, nibp every 5 min\nat-hand lipid-emulsion, "${text}"\nstaff 2\nsite-marked }`;
  expect(found(prepared("Midazolam 5 mg, adrenaline 1 mg"))).toEqual([]);
  const emergency = (text: string) => `emergency toxicity "Toxicity" { task "${text}" }`;
  expect(found(emergency("Seizure: a benzodiazepine in small doses"))).toEqual([]);
  expect(found(emergency("Give midazolam for a seizure, adrenaline in arrest"))).toEqual([]);
  for (const drug of ["lidocaine", "bupivacaine"]) {
    expect(found(emergency(`Give ${drug} for the arrhythmia`))).toEqual(["doubtful: a dose in words"]);
  }
  expect(found(emergency("Propofol 100 mg"))).toEqual(["doubtful: sedation in words"]);
});

test("a note that says again what the step gives is not accused, one with an amount of its own is", () => {
  const injected = (note: string) => steps("wait 5 min").replace("inject local", `inject local "${note}"`);
  expect(found(injected("Lidocaine, plain, read aloud by two"))).toEqual([]);
  expect(found(injected("Inject the lidocaine slowly"))).toEqual([]);
  expect(found(injected("40 mL of lidocaine"))).toEqual(["doubtful: a dose in words"]);
});

test.each([
  "Take-home codeine 30 mg, and a leaflet",
  "Give take-home codeine",
  "Discharge prescription: oxycodone",
  "Codeine to take home, not with alcohol",
])("what goes home with the patient is no dose of the block: %s", (text) => {
  expect(found(TASK(text))).toEqual([]);
});
