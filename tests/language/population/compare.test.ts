import { describe, expect, test } from "vitest";
import {
  type Box,
  type Broken,
  type ComparisonOptions,
  compare,
  type Expression,
  type Relation,
  regionsText,
} from "../../../language/population/index.ts";
import {
  bands,
  constant,
  greater,
  lesser,
  perKg,
  range,
  roundedDown,
  scaled,
  sum,
  texts,
  variable,
} from "./expressions.ts";
import { findUndefined } from "./find-undefined.ts";

const ADULTS: Box = { weight: range("[45, 130]") };
const ADULTS_AND_PRESSURES: Box = { ...ADULTS, systolic: range("[90, 180]") };

/** 40 mL of 0.5 %, which is 5 mg/mL. */
const FORTY_ML = constant(200);

function broken(
  left: Expression,
  relation: Relation,
  right: Expression,
  box: Box,
  options: ComparisonOptions = {},
): Broken {
  const answer = compare(left, relation, right, box, options);
  if (answer.kind !== "broken") throw new Error(`expected a violation, got ${JSON.stringify(answer)}`);
  return answer;
}

describe("a fixed dose against a maximum per kg", () => {
  test("40 mL of 0.5 % is over 4 mg/kg for 45 kg to under 50 kg", () => {
    const answer = broken(FORTY_ML, "at-most", perKg(4), ADULTS);
    expect(regionsText(answer.regions)).toBe("45 kg to under 50 kg");
    expect(answer.regions[0]?.exact).toBe(true);
  });

  test("the worst patient of 45 to 130 kg is the lightest, with 200 mg where 180 mg is the most", () => {
    const { worst } = broken(FORTY_ML, "at-most", perKg(4), ADULTS);
    if (worst.kind === "endless") throw new Error("a worst patient exists");
    const { kind, patient, left, right, excess } = worst;
    expect(kind).toBe("attained");
    expect(texts({ ...patient, left, right, excess })).toEqual({
      weight: "45",
      left: "200",
      right: "180",
      excess: "20",
    });
  });

  test("against 3 mg/kg it is under 200/3 kg exactly, and the words say that 66.67 is rounded", () => {
    const { regions } = broken(FORTY_ML, "at-most", perKg(3), ADULTS);
    expect(regions[0]?.ranges.weight?.upper?.value.toFraction()).toBe("200/3");
    expect(regions[0]?.ranges.weight?.upper?.closed).toBe(false);
    expect(regionsText(regions)).toBe("45 kg to under about 66.67 kg");
  });

  test("at the very maximum nobody is over it", () => {
    expect(compare(FORTY_ML, "at-most", perKg(4), { weight: range("[50, 130]") })).toEqual({ kind: "holds" });
    const { regions } = broken(FORTY_ML, "under", perKg(4), { weight: range("[50, 130]") });
    expect(regionsText(regions)).toBe("exactly 50 kg");
  });

  test("100 mL of 0.5 % is over 300 mg for every patient", () => {
    const { regions } = broken(constant(500), "at-most", constant(300), ADULTS);
    expect(regions).toEqual([{ ranges: {}, exact: true, everybody: true }]);
    expect(regionsText(regions)).toBe("every patient");
  });

  test("100 mL of 0.5 % is over 4 mg/kg below 125 kg", () => {
    const { regions } = broken(constant(500), "at-most", perKg(4), ADULTS);
    expect(regionsText(regions)).toBe("45 kg to under 125 kg");
  });

  test("the limit may be broken from above as well", () => {
    const { regions } = broken(perKg(4), "at-least", constant(200), ADULTS);
    expect(regionsText(regions)).toBe("45 kg to under 50 kg");
    expect(regionsText(broken(perKg(4), "over", constant(200), ADULTS).regions)).toBe("45 to 50 kg");
  });

  test("equal values are unequal on both sides of the crossing", () => {
    const { regions } = broken(perKg(4), "equal", constant(200), ADULTS);
    expect(regionsText(regions)).toBe("45 kg to under 50 kg; over 50 kg to 130 kg");
  });
});

describe("caps and rounding", () => {
  test("4 mg/kg up to 300 mg stays within both maxima", () => {
    const capped = lesser(perKg(4), constant(300));
    expect(compare(capped, "at-most", perKg(4), ADULTS).kind).toBe("holds");
    expect(compare(capped, "at-most", constant(300), ADULTS).kind).toBe("holds");
  });

  test("the cap of 300 mg binds from 75 kg", () => {
    const { regions } = broken(lesser(perKg(4), constant(300)), "under", constant(300), ADULTS);
    expect(regionsText(regions)).toBe("75 to 130 kg");
  });

  test("rounding down to 1 mL never passes the maximum, but rounding hides nothing of a dose over it", () => {
    const roundedMg = (factor: string): Expression => scaled(5, roundedDown(1, scaled("1/5", perKg(factor))));
    expect(compare(roundedMg("4"), "at-most", perKg(4), ADULTS).kind).toBe("holds");
    const { regions } = broken(roundedMg("4.1"), "at-most", perKg(4), { weight: range("[45, 50]") });
    expect(regionsText(regions)).toBe(
      "about 45.12 kg to under 46.25 kg; about 46.34 kg to under 47.5 kg; about 47.56 kg to under 48.75 kg; about 48.78 to 50 kg",
    );
  });
});

describe("bands", () => {
  const volumes = bands("weight", {
    "[45, 49]": constant(30),
    "[50, 60)": constant(35),
    "[60,]": constant(40),
  });

  test("a hole between 49 and 50 kg is named", () => {
    const answer = findUndefined(volumes, ADULTS);
    if (answer.kind !== "regions") throw new Error(answer.limit);
    expect(regionsText(answer.regions)).toBe("over 49 kg to under 50 kg");
  });

  test("nobody in the hole is judged, and those beside it are", () => {
    const { regions } = broken(scaled(5, volumes), "at-most", constant(100), ADULTS);
    expect(regionsText(regions)).toBe("45 to 49 kg; 50 to 130 kg");
  });

  test("a band that ends under 50 kg does not hold the patient of 50 kg", () => {
    const doses = bands("weight", { "[45, 50)": constant(190), "[50,)": constant(200) });
    const { regions } = broken(doses, "at-most", perKg(4), ADULTS);
    expect(regionsText(regions)).toBe("45 kg to under 47.5 kg");
    expect(compare(doses, "at-most", perKg(4), { weight: range("[47.5, 130]") }).kind).toBe("holds");
  });

  test("the worst patient at an open edge is approached, not attained", () => {
    const doses = bands("weight", { "[45, 70)": perKg(3), "[70,)": constant(100) });
    const { worst, clean } = broken(doses, "at-most", constant(180), ADULTS);
    if (worst.kind === "endless") throw new Error("a limit exists");
    expect(worst.kind).toBe("approached");
    expect(texts({ ...worst.patient, left: worst.left })).toEqual({ weight: "70", left: "210" });
    expect(texts({ ...clean.patient, left: clean.left })).toEqual({ weight: "65", left: "195" });
  });

  test("bands that leave out exactly 70 kg say so", () => {
    const answer = findUndefined(
      bands("weight", { "[45, 70)": constant(30), "(70,]": constant(40) }),
      ADULTS,
    );
    if (answer.kind !== "regions") throw new Error(answer.limit);
    expect(regionsText(answer.regions)).toBe("exactly 70 kg");
  });

  test("children's and adults' maxima in age bands", () => {
    const maximum = bands("age", { "[0, 12)": perKg(3), "[12,)": perKg(4) });
    const box: Box = { age: range("[4, 85]"), weight: range("[15, 130]") };
    const { regions, clean } = broken(perKg("3.5"), "at-most", maximum, box);
    expect(regionsText(regions)).toBe("age 4 to 11 years");
    expect(texts({ ...clean.patient })).toEqual({ weight: "130", age: "10" });
  });

  test("a dose fixed for children breaks where age and weight meet, as ranges of both", () => {
    const dose = bands("age", { "[0, 12)": constant(100), "[12,)": perKg(3) });
    const box: Box = { age: range("[4, 85]"), weight: range("[15, 130]") };
    const { regions } = broken(dose, "at-most", perKg(3), box);
    expect(regionsText(regions)).toBe("15 kg to under about 33.33 kg, age 4 to 11 years");
    expect(regions[0]?.exact).toBe(true);
  });
});

describe("pressures", () => {
  const target = greater(sum(variable("systolic"), constant(100)), constant(250));

  test("the greater of systolic + 100 and 250 mmHg keeps under a ceiling of 300 up to 200 systolic", () => {
    expect(compare(target, "at-most", constant(300), { systolic: range("[90, 200]") }).kind).toBe("holds");
    const { regions, worst } = broken(target, "at-most", constant(300), { systolic: range("[90, 220]") });
    expect(regionsText(regions)).toBe("systolic over 200 mmHg to 220 mmHg");
    expect(worst.kind === "attained" && worst.excess.toFraction()).toBe("20");
  });

  test("the lesser of two variables is cut where they cross", () => {
    const both = lesser(perKg(2), variable("systolic"));
    expect(compare(both, "at-most", variable("systolic"), ADULTS_AND_PRESSURES).kind).toBe("holds");
    const { regions, worst, clean } = broken(both, "at-least", variable("systolic"), ADULTS_AND_PRESSURES);
    expect(regions.map(({ exact }) => exact)).toEqual([false]);
    expect(regionsText(regions)).toBe(
      "some patients among 45 kg to under 90 kg, systolic over 90 mmHg to 180 mmHg",
    );
    expect(worst.kind === "attained" && texts(worst.patient)).toEqual({ weight: "45", systolic: "180" });
    expect(texts(clean.patient)).toEqual({ weight: "50", systolic: "180" });
  });

  test("a set cut along a slant is told as exact when its parts make up whole ranges", () => {
    const both = greater(perKg(2), variable("systolic"));
    const box: Box = { weight: range("[40, 100]"), systolic: range("[90, 180]") };
    const doses = bands("weight", { "[40, 60)": both, "[60,)": constant(0) });
    const { regions } = broken(doses, "at-most", constant(50), box);
    expect(regions.every(({ exact }) => exact)).toBe(true);
    expect(regionsText(regions)).toBe("40 kg to under 60 kg");
  });
});

test("rounding steps and a slant together still make one exact range", () => {
  const pressure = roundedDown("0.5", lesser(perKg(2), variable("systolic")));
  const { regions } = broken(pressure, "at-most", constant(120), ADULTS_AND_PRESSURES);
  expect(regions.map(({ exact }) => exact)).toEqual([true]);
  expect(regionsText(regions)).toBe("60.25 to 130 kg, systolic 120.5 to 180 mmHg");
});

describe("the worst by weight", () => {
  test("of a dose that grows with weight the absolute worst is the heaviest, per kg it may be the lightest", () => {
    const dose = sum(perKg(2), constant(120));
    const box: Box = { weight: range("[40, 130]") };
    const absolute = broken(dose, "at-most", constant(150), box);
    expect(absolute.worst.kind === "attained" && texts(absolute.worst.patient)).toEqual({ weight: "130" });
    const relative = broken(dose, "at-most", constant(0), box, { measure: "per-weight" });
    expect(relative.worst.kind === "attained" && texts(relative.worst.patient)).toEqual({ weight: "40" });
  });

  test("two variables may decide it together", () => {
    const box: Box = { weight: range("[40, 130]"), systolic: range("[90, 180]") };
    const { worst } = broken(variable("systolic"), "at-most", constant(0), box, { measure: "per-weight" });
    expect(worst.kind === "attained" && texts(worst.patient)).toEqual({ weight: "40", systolic: "180" });
  });
});

describe("the worst by weight without limits", () => {
  test("patients lighter than any given one may be worse and worse", () => {
    const { worst } = broken(
      constant(200),
      "at-most",
      constant(100),
      { weight: range("(0, 130]") },
      { measure: "per-weight" },
    );
    expect(worst).toEqual({ kind: "endless" });
  });

  test("a limit that only patients of endless weight come near is no patient", () => {
    const options: ComparisonOptions = { measure: "per-weight" };
    const { worst } = broken(perKg(4), "at-most", constant(300), { weight: range("[45,)") }, options);
    expect(worst).toEqual({ kind: "endless" });
  });

  test("without an upper limit of weight the worst per kg is still found among the light", () => {
    const dose = sum(perKg(1), constant(100));
    const { worst } = broken(
      dose,
      "at-most",
      perKg(1),
      { weight: range("[50,)") },
      { measure: "per-weight" },
    );
    expect(worst.kind === "attained" && texts(worst.patient)).toEqual({ weight: "50" });
  });
});

describe("limits of the analysis are said", () => {
  test("without an upper limit of weight a comparison is still decided", () => {
    const { regions, worst } = broken(perKg(4), "at-most", constant(300), { weight: range("[45,)") });
    expect(regionsText(regions)).toBe("over 75 kg");
    expect(worst).toEqual({ kind: "endless" });
    expect(compare(lesser(perKg(4), constant(300)), "at-most", constant(300), {}).kind).toBe("holds");
  });

  test("a rounding without end is not decided", () => {
    const answer = compare(roundedDown(1, perKg(4)), "at-most", constant(300), { weight: range("[45,)") });
    expect(answer.kind === "not-decided" && answer.limit).toContain("no limit");
  });

  test("more pieces than allowed are not decided", () => {
    const answer = compare(roundedDown("0.001", perKg(4)), "at-most", perKg(4), ADULTS, { mostPieces: 1000 });
    expect(answer.kind === "not-decided" && answer.limit).toContain("more than 1000 pieces");
  });

  test("a question may be stopped", () => {
    const answer = compare(perKg(4), "at-most", perKg(5), ADULTS, { cancelled: () => true });
    expect(answer.kind === "not-decided" && answer.limit).toContain("stopped");
  });

  test("without any patient, or any patient with a value, nothing is decided", () => {
    expect(compare(perKg(4), "at-most", perKg(4), { age: range("[20, 10]") }).kind).toBe("not-decided");
    const nobody = bands("weight", { "[200, 300]": constant(1) });
    expect(compare(nobody, "at-most", constant(0), ADULTS).kind).toBe("not-decided");
  });

  test("a step of zero is a mistake of the caller", () => {
    expect(() => compare(roundedDown(0, perKg(4)), "at-most", constant(1), ADULTS)).toThrow(RangeError);
  });
});

test("500 rounding steps are judged one by one", () => {
  const volume = roundedDown("0.1", scaled("3/5", variable("weight")));
  const { regions, worst } = broken(
    scaled(5, volume),
    "at-most",
    scaled("2.999", variable("weight")),
    ADULTS,
  );
  expect(regions.length).toBeGreaterThan(100);
  expect(worst.kind).toBe("attained");
});
