import { exactText, inBase, rational } from "@limbwright/shared/quantity";
import { describe, expect, test } from "vitest";
import { evaluate } from "../../language/population/index.ts";
import { check, doseOf, findingsOf, given, patient } from "./worked-dose.ts";

/*
 * The published schemes of lipid rescue, written in the language. Values check the arithmetic; they are not advice.
 *
 * UK: theatre emergency card (passage read):
 * https://rightdecisions.scot.nhs.uk/sjh-theatres-and-anaesthetics/anaesthetic-emergencies/3-10-local-anaesthetic-toxicity
 * US: American Society of Regional Anesthesia, 2020, as a reference text summarises it (reported elsewhere):
 * https://www.staging.medscape.com/answers/1844551-62878/what-is-the-recommended-dosing-regimen-for-lipid-emulsion-therapy-for-local-anesthetic-toxicity
 */

function rescueProtocol(bolus: string, infusion: string, weight = "weight 10 to 100 kg"): string {
  return `agent lipid-emulsion {
  kind rescue
  concentration 20 %
  maximum 12 mL/kg
  source "Named in the test"
}
protocol worked "Rescue" {
  version 1.0.0
  status draft
  patients {
    age 1 to 80 years
    ${weight}
    systolic 90 to 180 mmHg
  }
  cuffs proximal "A", distal "B" on upper-arm {
    pressure systolic + 100 mmHg
    ceiling 300 mmHg
  }
  steps {
    go to emergency toxicity
  }
  throughout {
    when toxicity-signs {
      go to emergency toxicity
    }
  }
  emergency toxicity "Toxicity" {
    dose bolus of lipid-emulsion {
      ${bolus}
    }
    dose infusion of lipid-emulsion {
      ${infusion}
    }
    task help "Help"
    task oxygen "Oxygen"
    give bolus
    give infusion
    task cuff-decision "Decide"
  }
}
`;
}

const UK_BOLUS = 'amount 1.5 mL/kg\n      over 1 min\n      repeat 2 times every 5 min if "unstable"';
const UK_INFUSION = "rate 15 mL/kg/h\n      total up to 12 mL/kg";
const US_BOLUS =
  "amount by weight {\n        under 70 kg 1.5 mL/kg\n        over 70 kg 100 mL\n      }\n      over 2 min to 3 min";
const uk = rescueProtocol(UK_BOLUS, UK_INFUSION);

describe("the UK card for 70 kg", () => {
  test("prints about 100 mL for the first bolus; exactly 105 mL", () => {
    expect(given(doseOf(uk, "bolus"), patient({ weight: "70" })).mL).toBe("105");
  });

  test("1050 mL/h are 17.5 mL/min, and the maximum is 840 mL", () => {
    const { rate, total } = doseOf(uk, "infusion");
    const perSecond = rate && evaluate(rate.expression, patient({ weight: "70" }));
    expect(perSecond && exactText(perSecond.mul(3600))).toBe("1050");
    expect(perSecond && exactText(perSecond.mul(60))).toBe("17.5");
    const most = total && evaluate(total.expression, patient({ weight: "70" }));
    expect(most && exactText(most)).toBe("840");
  });

  // Derived from the card: three boluses at 0, 5 and 10 min, the rate never doubled.
  test("reaches the maximum after 30 min", () => {
    const bolus = doseOf(uk, "bolus");
    const infusion = doseOf(uk, "infusion");
    const of70 = patient({ weight: "70" });
    const boluses = bolus.volume && evaluate(bolus.volume, of70)?.mul((bolus.repeat?.times ?? 0) + 1);
    const most = infusion.total && evaluate(infusion.total.expression, of70);
    const perSecond = infusion.rate && evaluate(infusion.rate.expression, of70);
    expect(boluses && most && perSecond && exactText(most.sub(boluses).div(perSecond).div(60))).toBe("30");
  });
});

// An older UK card of 2007 (passage read): https://id.scribd.com/document/44822364/La-Toxicity-07 prints 400 mL over
// 20 min, then 400 mL over 10 min for 70 kg at 0.25, then 0.5 mL/kg/min. Exactly both are 350 mL.
test.each([
  ["0.25 mL/kg/min", 20],
  ["0.5 mL/kg/min", 10],
])("the 2007 card's 400 mL at %s over %s min are exactly 350 mL for 70 kg", (rate, minutes) => {
  const { rate: written } = doseOf(
    rescueProtocol(UK_BOLUS, `rate ${rate}\n      total up to 12 mL/kg`),
    "infusion",
  );
  const perSecond = written && evaluate(written.expression, patient({ weight: "70" }));
  expect(perSecond && exactText(perSecond.mul(60).mul(minutes))).toBe("350");
});

// Worked from both schemes: first bolus UK and US (mL), UK rate (mL/h) and maximum (mL) by weight (kg).
describe.each([
  ["10", "15", "15", "150", "120"],
  ["20", "30", "30", "300", "240"],
  ["50", "75", "75", "750", "600"],
  ["80", "120", "100", "1200", "960"],
  ["100", "150", "100", "1500", "1200"],
])("at %s kg", (weight, ukBolus, usBolus, ukRate, most) => {
  const of = patient({ weight });
  const us = rescueProtocol(US_BOLUS, "rate 0.25 mL/kg/min\n      total up to 12 mL/kg");

  test(`the first bolus is ${ukBolus} mL (UK) or ${usBolus} mL (US)`, () => {
    expect(given(doseOf(uk, "bolus"), of).mL).toBe(ukBolus);
    expect(given(doseOf(us, "bolus"), of).mL).toBe(usBolus);
  });

  test(`the UK rate is ${ukRate} mL/h, the maximum ${most} mL`, () => {
    const { rate, total } = doseOf(uk, "infusion");
    const perSecond = rate && evaluate(rate.expression, of);
    const limit = total && evaluate(total.expression, of);
    expect(perSecond && exactText(perSecond.mul(3600))).toBe(ukRate);
    expect(limit && exactText(limit)).toBe(most);
  });
});

describe("the US wording leaves exactly 70 kg open", () => {
  const us = rescueProtocol(US_BOLUS, "rate 0.25 mL/kg/min\n      total up to 12 mL/kg");

  test("the table is reported with the patients it leaves out", () => {
    const gaps = findingsOf("bands-leave-gap", us);
    expect(gaps).toHaveLength(1);
    expect(`${gaps[0]?.what} ${gaps[0]?.patients?.ranges.join()}`).toContain("exactly 70 kg");
  });

  test("69.9 kg gets 104.85 mL, 70.1 kg gets 100 mL, 70 kg nothing at all", () => {
    const at = (weight: string) => given(doseOf(us, "bolus"), patient({ weight })).mL;
    expect([at("69.9"), at("70.1"), at("70")]).toEqual(["104.85", "100", undefined]);
  });
});

test("15 mL/kg/h and 0.25 mL/kg/min are the same rate exactly", () => {
  const rateOf = (rate: string) =>
    doseOf(rescueProtocol(UK_BOLUS, `rate ${rate}\n      total up to 12 mL/kg`), "infusion").rate;
  const [hourly, perMinute] = [rateOf("15 mL/kg/h"), rateOf("0.25 mL/kg/min")].map(
    (rate) => rate && evaluate(rate.expression, patient({ weight: "1" })),
  );
  expect(hourly && perMinute && hourly.equals(perMinute)).toBe(true);
});

test("the UK scheme as written is within 12 mL/kg and is not called different", () => {
  expect(findingsOf("rescue-dose-differs", uk)).toEqual([]);
  expect(findingsOf("dose-over-maximum", uk)).toEqual([]);
  expect(findingsOf("cumulative-dose-over-maximum", uk)).toEqual([]);
});

test("the US scheme for 50 to 69 kg is not called different", () => {
  const us = rescueProtocol(
    'amount 1.5 mL/kg\n      over 2 min to 3 min\n      repeat 1 times every 5 min if "unstable"',
    "rate 0.25 mL/kg/min\n      total up to 12 mL/kg",
    "weight 50 to 69 kg",
  );
  expect(findingsOf("rescue-dose-differs", us)).toEqual([]);
});

test("a bolus of 1 mL/kg is called different from both schemes", () => {
  const weak = rescueProtocol(UK_BOLUS.replace("1.5", "1"), UK_INFUSION);
  expect(findingsOf("rescue-dose-differs", weak)).toHaveLength(1);
});

test("the schemes are read as the trade writes them: quantities in mL of a 20 % emulsion", () => {
  const { protocol } = check(uk);
  const concentration = protocol.doses[0]?.concentration;
  expect(concentration && exactText(inBase(concentration))).toBe(rational(200).toString());
});
