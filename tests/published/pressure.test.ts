import { exactText } from "@limbwright/shared/quantity";
import { describe, expect, test } from "vitest";
import { evaluate } from "../../language/population/index.ts";
import { check, findingsOf, patient } from "./worked-dose.ts";

/*
 * Published rules for cuff pressure, written in the language. Values check the arithmetic; they are not advice.
 */

function cuffProtocol(
  pressure: string,
  bounds: string,
  place = "upper-arm",
  ceiling = "300 mmHg",
  table = "",
): string {
  return `protocol worked "Cuff" {
  version 1.0.0
  status draft
  patients {
    age 18 to 80 years
    weight 45 to 130 kg
    ${bounds}
  }
  cuffs proximal "A", distal "B" on ${place} {
    ${table}
    pressure ${pressure}
    ceiling ${ceiling}
    fits 25 to 70 cm
  }
}
`;
}

function pressureAt(text: string, values: Readonly<Record<string, string>>): string | undefined {
  const pressure = check(text).protocol.cuffs?.pressure;
  const value = pressure && evaluate(pressure.expression, patient(values));
  return value && exactText(value);
}

const found = (rule: string, text: string) =>
  findingsOf(rule, text).map(({ patients }) => patients?.ranges.join("; "));

// Tuncali B et al., Anesth Analg 2006;102:1752 (abstract read): https://pubmed.ncbi.nlm.nih.gov/16717321/
// arterial occlusion pressure = (systolic + 10) / KTP. KTP 0.80 is an arbitrary input of this check.
test("occlusion pressure for systolic 120 and KTP 0.80 is 162.5 mmHg", () => {
  const text = cuffProtocol("125 % of (systolic + 10 mmHg)", "systolic 90 to 180 mmHg");
  expect(pressureAt(text, { systolic: "120" })).toBe("162.5");
});

// An emergency-medicine handbook, p. 488 (passage read): https://issuhub.com/view/index/4321?pageIndex=513
describe("systolic + 100 mmHg, never over 300 mmHg", () => {
  test("holds for systolic up to 200 mmHg and not above", () => {
    expect(
      found("pressure-over-ceiling", cuffProtocol("systolic + 100 mmHg", "systolic 90 to 200 mmHg")),
    ).toEqual([]);
    expect(
      found("pressure-over-ceiling", cuffProtocol("systolic + 100 mmHg", "systolic 90 to 220 mmHg")),
    ).toEqual(["systolic over 200 mmHg to 220 mmHg"]);
  });

  test("capped at 300 mmHg it stays under the ceiling, and the margin is too small above 200 mmHg", () => {
    const text = cuffProtocol("lesser of systolic + 100 mmHg and 300 mmHg", "systolic 90 to 220 mmHg");
    expect(found("pressure-over-ceiling", text)).toEqual([]);
    expect(found("pressure-margin-too-small", text)).toEqual(["systolic over 200 mmHg to 220 mmHg"]);
  });
});

// A trial used 250 mmHg for everybody (abstract read):
// https://discovery.researcher.life/article/comparison-of-ropivacaine-0-2-and-lidocaine-0-5-for-intravenous-regional-anesthesia/887a4378cd9e3695a438b4f81c478647
test("250 mmHg for everybody leaves less than 100 mmHg above systolic over 150 mmHg", () => {
  const text = cuffProtocol("250 mmHg", "systolic 90 to 180 mmHg");
  expect(found("pressure-margin-too-small", text)).toEqual(["systolic over 150 mmHg to 180 mmHg"]);
});

// Perioperative guideline of the Association of periOperative Registered Nurses, as reported (reported elsewhere):
// https://keywords.selfstudy.app/tourniquet-management/ : occlusion pressure < 130: + 40; 131 to 190: + 60; > 190: + 80.
describe("margins by occlusion pressure, where the wording leaves 130 to 131 open", () => {
  const table = `occlusion by circumference {
      25 cm to under 40 cm 129 mmHg
      40 cm to 50 cm 131 mmHg
    }`;

  test("the set pressure jumps from 169 mmHg to 191 mmHg between 129 and 131", () => {
    const bounds = "systolic 90 to 180 mmHg\n    circumference 25 to 50 cm";
    const low = cuffProtocol("occlusion-pressure + 40 mmHg", bounds, "upper-arm", "300 mmHg", table);
    const high = cuffProtocol("occlusion-pressure + 60 mmHg", bounds, "upper-arm", "300 mmHg", table);
    expect(pressureAt(low, { circumference: "30", systolic: "120" })).toBe("169");
    expect(pressureAt(high, { circumference: "45", systolic: "120" })).toBe("191");
  });

  test("a table written with the published edges leaves systolic between 130 and 131 out", () => {
    const text = cuffProtocol(
      "by systolic {\n      under 130 mmHg systolic + 40 mmHg\n      131 mmHg to 190 mmHg systolic + 60 mmHg\n      over 190 mmHg systolic + 80 mmHg\n    }",
      "systolic 90 to 200 mmHg",
    );
    const [gap] = findingsOf("bands-leave-gap", text);
    expect(`${gap?.what} ${gap?.patients?.ranges.join()}`).toContain("130 mmHg to under 131 mmHg");
  });
});

// A perioperative course (passage read): https://perioperative1002.slc-courses.ca/?p=624 : arm and lower leg 250 to
// 300 mmHg, thigh 300 to 350 mmHg at most.
test.each([
  ["upper-arm", "320 mmHg", 1],
  ["calf", "320 mmHg", 1],
  ["thigh", "320 mmHg", 0],
  ["thigh", "360 mmHg", 1],
])("a cuff on the %s with a ceiling of %s: %s finding", (place, ceiling, findings) => {
  const text = cuffProtocol("systolic + 100 mmHg", "systolic 90 to 180 mmHg", place, ceiling);
  expect(findingsOf("pressure-over-ceiling", text)).toHaveLength(findings);
});
