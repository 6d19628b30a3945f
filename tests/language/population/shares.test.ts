import { type Rational, ratio, rational } from "@limbwright/shared/quantity";
import { expect, test } from "vitest";
import {
  type Box,
  compareShares,
  type Expression,
  evaluate,
  patientText,
  regionText,
  type Share,
} from "../../../language/population/index.ts";
import { again, firstSeed, howMany } from "../../questions.ts";
import { randomFrom } from "../../solver/random.ts";
import { bands, constant, difference, lesser, perKg, range } from "./expressions.ts";

const ADULTS: Box = { weight: range("[45, 130]") };

function over(shares: readonly Share[], box = ADULTS): { ranges: string[]; exact: boolean; worst: string } {
  const answer = compareShares(shares, box);
  if (answer.kind === "not-decided") throw new Error(answer.limit);
  if (answer.kind === "holds") return { ranges: [], exact: true, worst: "" };
  return {
    ranges: answer.regions.map(regionText),
    exact: answer.regions.every((region) => region.exact),
    worst: answer.worst ? patientText(answer.worst) : "nobody",
  };
}

test("two halves are one whole, and no more than allowed", () => {
  const half = { amount: perKg(2), limit: perKg(4) };
  expect(over([half, half])).toEqual({ ranges: [], exact: true, worst: "" });
});

test("a little over one whole is over for everybody", () => {
  expect(
    over([
      { amount: perKg(2), limit: perKg(4) },
      { amount: perKg("2.01"), limit: perKg(4) },
    ]).ranges,
  ).toEqual(["every patient"]);
});

test("fixed doses against limits by weight are over for light patients, up to an exact edge", () => {
  // 100 / 4w + 100 / 3w = 1 at w = 175 / 3.
  expect(
    over([
      { amount: constant(100), limit: perKg(4) },
      { amount: constant(100), limit: perKg(3) },
    ]),
  ).toEqual({
    ranges: ["45 kg to under about 58.33 kg"],
    exact: true,
    worst: "45 kg",
  });
});

test("a dose by weight against a fixed limit, beside a fixed dose against one by weight, is a quadratic", () => {
  // 2w / 400 + 100 / 4w = 1: w² - 200w + 5,000 = 0, so w = 100 ± √5,000, 29.29 and 170.71.
  const shares = [
    { amount: perKg(2), limit: constant(400) },
    { amount: constant(100), limit: perKg(4) },
  ];
  expect(over(shares)).toEqual({ ranges: [], exact: true, worst: "" });
  expect(over(shares, { weight: range("[20, 200]") })).toEqual({
    ranges: [
      "some patients among 20 kg to under about 29.29 kg",
      "some patients among over about 170.71 kg to 200 kg",
    ],
    exact: false,
    worst: "20 kg",
  });
});

test("roots that are fractions are exact edges", () => {
  // 2w / 200 + 24 / w = 1: w² - 100w + 2,400 = 0, so w = 40 and w = 60.
  const shares = [
    { amount: perKg(2), limit: constant(200) },
    { amount: constant(24), limit: perKg(1) },
  ];
  expect(over(shares, { weight: range("[30, 90]") })).toEqual({
    ranges: ["30 kg to under 40 kg", "over 60 kg to 90 kg"],
    exact: true,
    worst: "90 kg",
  });
});

test("a double root touches one whole and does not pass it", () => {
  // 2w / 200 + 25 / w = 1: (w - 50)² = 0; everybody else is over.
  const shares = [
    { amount: perKg(2), limit: constant(200) },
    { amount: constant(25), limit: perKg(1) },
  ];
  expect(over(shares, { weight: range("[50, 50]") }).ranges).toEqual([]);
  expect(over(shares, { weight: range("[40, 60]") }).ranges).toEqual([
    "40 kg to under 50 kg",
    "over 50 kg to 60 kg",
  ]);
});

test("the least of two limits and bands by age are cut exactly", () => {
  const limit = bands("age", { "[0, 16)": perKg(3), "[16, )": lesser(perKg(4), constant(300)) });
  const shares = [
    { amount: perKg(2), limit },
    { amount: perKg("1.2"), limit },
  ];
  expect(over(shares, { weight: range("[20, 75]"), age: range("[10, 80]") })).toEqual({
    ranges: ["age 10 to 15 years"],
    exact: true,
    worst: expect.stringContaining("age 10 years"),
  });
});

test("without a weight over zero, or where a limit is zero, nothing is decided", () => {
  const share = { amount: constant(1), limit: constant(2) };
  expect(compareShares([share], { weight: range("[-2, 0]") }).kind).toBe("not-decided");
  expect(compareShares([{ ...share, limit: constant(0) }], ADULTS).kind).toBe("not-decided");
});

/** Agreement with adding the fractions up, patient by patient, over weights that no fraction of the sum favours. */
test("random sums agree with adding up the fractions at many weights", () => {
  const seed = firstSeed();
  const random = randomFrom(seed);
  const whole = (most: number) => random.below(most) + 1;
  const amount = (): Expression => {
    const own = random.oneIn(2) ? constant(whole(300)) : perKg(ratio(whole(40), 10).toFraction());
    if (random.oneIn(3)) return lesser(own, constant(whole(300)));
    return random.oneIn(5) ? difference(constant(whole(300) + 300), perKg(whole(3))) : own;
  };
  const limit = (): Expression => {
    const own = random.oneIn(2) ? constant(whole(400) + 100) : perKg(whole(6));
    return random.oneIn(3) ? lesser(own, perKg(whole(6))) : own;
  };
  const questions = howMany(1_500);
  let bothAnswers = 0;
  for (let question = 0; question < questions; question += 1) {
    const shares = Array.from({ length: 1 + whole(2) }, () => ({ amount: amount(), limit: limit() }));
    const answer = compareShares(shares, ADULTS);
    if (answer.kind === "not-decided")
      throw new Error(`${again(seed)}, question ${question}: ${answer.limit}`);
    const isOver = (weight: Rational) => sumAt(shares, weight).compare(1) > 0;
    const regions = answer.kind === "over" ? answer.regions : [];
    const where = `${again(seed)}, question ${question}`;
    for (let step = 0; step <= 170; step += 1) {
      const weight = rational(45).add(ratio(step, 2));
      const told = regions.some(({ ranges }) => isIn(ranges.weight ?? {}, weight));
      expect(told, `${where} at ${weight.toFraction()} kg`).toBe(isOver(weight));
    }
    if (answer.kind !== "over") continue;
    bothAnswers += 1;
    expect(sumAt(shares, answer.clean.weight as Rational).compare(1), where).toBe(1);
    if (answer.worst) {
      const worst = sumAt(shares, answer.worst.weight as Rational);
      for (let step = 0; step <= 170; step += 1) {
        expect(worst.compare(sumAt(shares, rational(45).add(ratio(step, 2)))), where).toBeGreaterThanOrEqual(
          0,
        );
      }
    }
  }
  expect(bothAnswers).toBeGreaterThan(questions * 0.05);
  expect(bothAnswers).toBeLessThan(questions * 0.95);
});

function sumAt(shares: readonly Share[], weight: Rational): Rational {
  return shares.reduce((sum, { amount, limit }) => {
    const [given, most] = [evaluate(amount, { weight }), evaluate(limit, { weight })];
    if (!given || !most) throw new Error("no value");
    return sum.add(given.div(most));
  }, rational(0));
}

function isIn({ lower, upper }: ReturnType<typeof range>, at: Rational): boolean {
  const [low, high] = [lower ? at.compare(lower.value) : 1, upper ? at.compare(upper.value) : -1];
  return (
    (low > 0 || (low === 0 && lower?.closed === true)) && (high < 0 || (high === 0 && upper?.closed === true))
  );
}
