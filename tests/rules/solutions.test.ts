import { describe, expect, test } from "vitest";
import { checkExample } from "./page-examples.ts";

interface Solution {
  readonly agent: string;
  readonly dose: string;
  readonly place?: string;
  readonly age?: string;
}

/** A small protocol that injects one dose, with an agent of its own beside lidocaine 0.5 %. */
function protocol({ agent, dose, place, age }: Solution): string {
  return `use "formulary.limb"
${agent}
protocol small "Small" {
  version 1.0.0
  status draft
  patients {
    age ${age ?? "16 to 85 years"}
    weight 45 to 130 kg
    systolic 90 to 180 mmHg
  }
  cuffs proximal, distal on ${place ?? "upper-arm"} {
    pressure systolic + 100 mmHg
    ceiling 300 mmHg
  }
  ${dose}
  steps {
    inject local
  }
}`;
}

function judged(rule: string, solution: Solution) {
  const { check } = checkExample(protocol(solution), { about: [rule] });
  expect(check.findings.filter(({ severity }) => severity === "error")).toEqual([]);
  const verdict = check.protocols.find(({ protocol: of }) => of.name === "small")?.verdicts;
  return {
    findings: check.findings.filter((finding) => finding.rule === rule),
    verdict: verdict?.find((one) => one.rule === rule)?.kind,
  };
}

describe("the concentration", () => {
  const at = (concentration: string, more: Partial<Solution> = {}) =>
    judged("concentration-not-usual", {
      agent: `agent test-drug {\n  kind local-anaesthetic\n  concentration ${concentration}\n  source "Test"\n}`,
      dose: "dose local of test-drug {\n    amount 10 mL\n    over 90 s\n  }",
      ...more,
    });

  // Monograph, passage read: only 0.5 %. https://www.mailmyprescriptions.com/lidocaine-5-ointment-5-generic-52565000855.html
  // Regional-anaesthesia atlas, passage read: 12 to 15 mL of 2 %.
  // https://accessanesthesiology.mhmedical.com/content.aspx?bookid=518&sectionid=41534313
  // Below the knee, volunteers, abstract read: 1 %. https://scilit.net/publications/0b748c851e46fa478821ab1889a972c5
  test("of 0.5 % is usual, of 1 % and 2 % is not, on an arm or a leg", () => {
    expect(at("0.5 %").verdict).toBe("holds");
    expect(at("5 mg/mL").verdict).toBe("holds");
    expect(at("2 %").findings[0]?.label).toBe("stronger than 0.5 %");
    expect(at("1 %", { place: "calf" }).verdict).toBe("broken");
  });

  // Miller's Anesthesia, 6th edition, passage read: leg 50 to 100 mL of 0.25 %.
  // US label, passage read: children 0.25 to 0.5 %. https://prescriberpoint.com/therapies/lidocaine-hydrochloride-27b6ef5
  test("of 0.25 % is usual for a leg and for children, not for the arm of an adult", () => {
    expect(at("0.25 %", { place: "thigh" }).verdict).toBe("holds");
    expect(at("0.25 %", { age: "4 to 15 years" }).verdict).toBe("holds");
    expect(at("0.25 %", { age: "10 to 85 years" }).findings[0]?.patients?.ranges).toEqual([
      "age 16 to 85 years",
    ]);
    expect(at("0.2 %", { place: "thigh" }).verdict).toBe("broken");
  });

  test("of a drug whose kind is not said is not decided", () => {
    const agent = 'agent test-drug {\n  concentration 2 %\n  source "Test"\n}';
    expect(at("2 %", { agent }).verdict).toBe("not-decided");
  });
});

describe("a drug that is mixed in", () => {
  const mixed = (name: string, code: string) =>
    judged("adjuvant-adds-little", {
      agent: `agent ${name} {\n  kind adjuvant\n  ${code}\n  concentration 1 mg/mL\n  source "Test"\n}`,
      dose: `dose local of lidocaine {\n    amount 30 mL\n    over 90 s\n    with ${name} 1 mg\n  }`,
    });

  // A systematic review of adjuncts for intravenous regional anesthesia, abstract read:
  // https://doi.org/10.1007/BF03020416
  test("adds little when it is an opioid, by name or by code", () => {
    expect(mixed("morphine", "").findings[0]?.severity).toBe("advice");
    // The ATC class N02A holds the opioids (from memory).
    expect(mixed("own-mixture", 'atc "N02AB02"').verdict).toBe("broken");
  });

  // Neostigmine 1 mg, abstract read: https://rapm.bmj.com/content/28/5/414. Bicarbonate, abstract read: https://rapm.bmj.com/content/15/2/59
  test("adds little when trials found no benefit", () => {
    expect(mixed("neostigmine", "").verdict).toBe("broken");
    expect(mixed("sodium-bicarbonate", "").verdict).toBe("broken");
  });

  test("adds something when the reviews found so", () => {
    expect(mixed("ketorolac", 'atc "M01AB15"').verdict).toBe("holds");
    expect(mixed("clonidine", "").verdict).toBe("holds");
  });

  test("of which nothing is known is not decided, and never passes", () => {
    expect(mixed("tranexamic-acid", "").verdict).toBe("not-decided");
  });
});
