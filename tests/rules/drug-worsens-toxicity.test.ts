import { describe, expect, test } from "vitest";
import { injected, small } from "./small-protocol.ts";

const RULE = "drug-worsens-toxicity";

const agentText = (name: string, code: string) =>
  `agent ${name} {\n  kind rescue\n  ${code === "" ? "" : `atc "${code}"`}\n  concentration 1 mg/mL\n  maximum 100 mg\n  source "Test"\n}`;

interface Drug {
  readonly name: string;
  readonly code?: string;
  readonly amount?: string;
}

/** What is found where signs of toxicity lead to these steps, and the emergency to those. */
function found(
  { name, code = "", amount = "1 mg" }: Drug,
  { answer = "go to emergency toxicity", treatment = "give extra" } = {},
) {
  const lipid = "dose lipid of lipid-emulsion {\n amount 1.5 mL/kg\n over 1 min\n }";
  return small(RULE, {
    agents: agentText(name, code),
    doses: `${injected("local", "lidocaine", "1 mg/kg")}\n${injected("extra", name, amount)}`,
    steps: "inject local\n    wait 30 min\n    deflate all\n    recovery 30 min",
    more: `throughout {\n when toxicity-signs once {\n ${answer}\n }\n}
routine support {\n give extra\n}
emergency toxicity "Toxicity" {\n ${lipid}\n task help "Help"\n give lipid\n ${treatment}\n}`,
  }).verdict;
}

describe("while toxicity is treated", () => {
  test.each<Drug>([
    { name: "vasopressin" },
    { name: "esmolol" },
    { name: "verapamil" },
    { name: "ampoule-7", code: "C07AB02" },
    { name: "ampoule-8", code: "C08DA01" },
    { name: "adrenaline" },
    { name: "epinephrine", amount: "0.1 mg" },
    { name: "ampoule-9", code: "C01CA24", amount: "2 mcg/kg" },
  ])("$name $code $amount is found", (drug) => {
    expect(found(drug)).toBe("broken");
  });

  test.each<Drug>([
    { name: "adrenaline", amount: "1 mcg/kg" },
    { name: "adrenaline", amount: "1 mcg/kg up to 50 mcg" },
    { name: "midazolam" },
    { name: "amiodarone", code: "C01BD01" },
  ])("$name $amount is not", (drug) => {
    expect(found(drug)).toBe("holds");
  });

  const adrenaline = { name: "adrenaline" };
  test("in one branch, by a routine, in the answer itself, and in an emergency that the first leads on to", () => {
    expect(found(adrenaline, { treatment: 'ask "Arrest?" {\n yes {\n give extra\n }\n no { }\n }' })).toBe(
      "broken",
    );
    expect(found(adrenaline, { treatment: "do support" })).toBe("broken");
    expect(found(adrenaline, { answer: "give extra\n go to emergency toxicity", treatment: "" })).toBe(
      "broken",
    );
    const second = 'go to emergency heart\n}\nemergency heart "Arrest" {\n give extra';
    expect(found(adrenaline, { treatment: second })).toBe("broken");
  });

  test("elsewhere it is for other rules", () => {
    expect(found(adrenaline, { treatment: "" })).toBe("holds");
  });
});
