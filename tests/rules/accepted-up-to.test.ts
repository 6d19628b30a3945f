import { describe, expect, test } from "vitest";
import { checked, errorsOf, findingsOf, type Hospital } from "./hospital.ts";

const DOSE = "dose-over-maximum";
const TIME = "occlusion-too-long";
const FAR = "acceptance-goes-too-far";

function accepts(what: string, until = "2027-01-31"): string {
  return `  accept ${what} because "Tendons" by "Anaesthesia lead" by "Pharmacy" until ${until}`;
}

const UP_TO = accepts(`${DOSE} of local in wrist-reduction up to 3.5 mg/kg`);

/** A hospital whose own maximum is lower than the published one. */
function own(maxima: string, rest: Partial<Hospital> = {}): Hospital {
  const [first = "", ...others] = maxima.split("; ");
  return {
    rules: UP_TO,
    amount: "3.5 mg/kg up to 200 mg",
    formulary: [["maximum       4 mg/kg", [first, ...others].map((one) => `maximum ${one}`).join("\n  ")]],
    ...rest,
  };
}

const judged = (hospital: Hospital, rule: string) =>
  findingsOf(hospital, rule).map(({ subject, accepted }) => [subject, accepted?.upTo]);
const labels = (hospital: Hospital) => findingsOf(hospital, FAR).map(({ label }) => label);
const COVERED = [["local", "3.5 mg/kg"]];
const OPEN = [["local", undefined]];

describe("a dose that is accepted up to a value", () => {
  const hospital = own("3 mg/kg");

  test("is covered by it, and is still found and told with the value", () => {
    expect(judged(hospital, DOSE)).toEqual(COVERED);
    expect(findingsOf(hospital, DOSE)[0]?.related).toEqual([
      expect.objectContaining({ note: "the maximum" }),
    ]);
    expect(labels(hospital)).toEqual([]);
    expect(errorsOf(hospital)).toEqual([]);
  });

  test("takes nothing from what is proven: every other verdict is the same", () => {
    const verdicts = (rules: string) =>
      checked({ ...hospital, rules })
        .flatMap(({ protocols }) => protocols[0]?.verdicts ?? [])
        .filter(({ rule }) => !rule.startsWith("acceptance-"));
    const plain = verdicts("  set action-time 60 s");
    expect(verdicts(UP_TO)).toEqual(plain);
    expect(plain.filter(({ kind }) => kind !== "holds").map(({ rule, kind }) => [rule, kind])).toEqual([
      [DOSE, "broken"],
    ]);
  });

  test.each([
    ["raised a little", "3.6 mg/kg up to 200 mg"],
    ["fixed, so that light patients get more", "40 mL"],
    [
      "a table with a band that goes over it",
      "by weight {\n 45 kg to under 50 kg 30 mL\n 50 kg and over 40 mL\n}",
    ],
    ["rounded by another sum", "(3.5 mg/kg up to 200 mg) + 1 mg"],
    ["with a second way of writing it", "3.5 mg/kg up to 200 mg = 0.72 mL/kg up to 40 mL"],
  ])("stands as soon as it goes over it: %s", (_, amount) => {
    const found = findingsOf({ ...hospital, amount }, DOSE);
    expect(found.filter(({ limitUnit }) => limitUnit === "mg/kg").map(({ accepted }) => accepted)).toEqual([
      undefined,
    ]);
    expect(found[0]?.related.map(({ note }) => note)).toContain(
      "accepted up to 3.5 mg/kg, which does not cover it",
    );
  });

  test.each([
    ["a table within it", "by weight {\n 45 kg to under 50 kg 30 mL\n 50 kg and over 35 mL\n}"],
    ["another formula within it", "3.4 mg/kg up to 190 mg"],
  ])("may be written otherwise: %s", (_, amount) => {
    expect(judged({ ...hospital, amount }, DOSE)).toEqual(COVERED);
  });

  test("is not the next dose of the same drug, nor what both come to", () => {
    const second =
      "  dose second of lidocaine {\n    amount 3.5 mg/kg up to 200 mg\n    over 90 s to 3 min\n  }\n\n  timer hold";
    const changes = [
      ["  timer hold", second],
      ["    inject local\n", "    inject local\n    wait 5 min\n    inject second\n"],
    ] as const;
    expect(judged({ ...hospital, changes }, DOSE)).toEqual([
      ["local", "3.5 mg/kg"],
      ["second", undefined],
    ]);
    const twice = [["    inject local\n", "    inject local\n    wait 5 min\n    inject local\n"]] as const;
    const sum = findingsOf({ ...hospital, changes: twice }, "cumulative-dose-over-maximum");
    expect(sum.map(({ accepted, severity }) => [severity, accepted])).toContainEqual(["unsafe", undefined]);
  });

  test("is not the dose of that name in another protocol, also where no protocol is named", () => {
    const others = { ankle: "3.5 mg/kg up to 200 mg" };
    const files = ["protocol.limb", "ankle.limb"];
    const both = (rules: string) =>
      findingsOf({ ...hospital, rules, others, files }, DOSE).map(({ protocol, accepted }) => [
        protocol,
        accepted !== undefined,
      ]);
    expect(both(UP_TO)).toEqual([
      ["wrist-reduction", true],
      ["ankle", false],
    ]);
    const everywhere = accepts(`${DOSE} of local up to 3.5 mg/kg`);
    expect(both(everywhere)).toEqual([
      ["wrist-reduction", false],
      ["ankle", false],
    ]);
    expect(labels({ ...hospital, rules: everywhere })).toEqual(["does not say in which protocol"]);
  });

  test("is covered for one of its maxima alone; each other one counts until it is accepted, too", () => {
    const two = own("3 mg/kg", {
      amount: "3.5 mg/kg up to 250 mg",
      formulary: [
        ["maximum       4 mg/kg", "maximum       3 mg/kg"],
        ["maximum       300 mg", "maximum       200 mg"],
      ],
    });
    const told = (hospital: Hospital) =>
      findingsOf(hospital, DOSE).map(({ limitUnit, accepted }) => [limitUnit, accepted?.upTo]);
    expect(told(two)).toEqual([
      ["mg/kg", "3.5 mg/kg"],
      ["mg", undefined],
    ]);
    const both = `${UP_TO}\n${accepts(`${DOSE} of local in wrist-reduction up to 250 mg`)}`;
    expect(told({ ...two, rules: both })).toEqual([
      ["mg/kg", "3.5 mg/kg"],
      ["mg", "250 mg"],
    ]);
    const little = `${UP_TO}\n${accepts(`${DOSE} of local in wrist-reduction up to 249 mg`)}`;
    expect(told({ ...two, rules: little })[1]).toEqual(["mg", undefined]);
  });

  test("is no drug that is mixed into it", () => {
    const changes = [
      ["    over   90 s to 3 min", "    over   90 s to 3 min\n    with lipid-emulsion 600 mL"],
    ] as const;
    const rules = accepts(`${DOSE} of local in wrist-reduction up to 12 mL/kg`);
    const found = findingsOf({ rules, changes }, DOSE);
    expect(found.map(({ subject, accepted }) => [subject, accepted])).toEqual([[undefined, undefined]]);
    expect(labels({ rules, changes })).toEqual(["not like a maximum"]);
  });

  test("is not another drug by that name, past what is published of it", () => {
    const drug = (name: string, maxima: string) =>
      ({
        ...own("3 mg/kg"),
        changes: [
          [
            "protocol wrist-reduction",
            `agent ${name} {\n  kind local-anaesthetic\n  concentration 0.5 %\n  plain\n  preservative-free\n  ${maxima}\n}\n\nprotocol wrist-reduction`,
          ],
          ["of lidocaine", `of ${name}`],
        ],
      }) as const;
    const prilocaine = drug("prilocaine", "maximum 2.5 mg/kg\n  maximum 400 mg");
    expect(labels(prilocaine)).toEqual(["over the published 3 mg/kg"]);
    expect(judged(prilocaine, DOSE)).toEqual(OPEN);
    const within = { ...prilocaine, rules: UP_TO.replace("3.5", "3"), amount: "3 mg/kg up to 200 mg" };
    expect(judged(within, DOSE)).toEqual([["local", "3 mg/kg"]]);
    const unknown = drug("ropivacaine", "maximum 3 mg/kg");
    expect(labels(unknown)).toEqual(["nothing published"]);
    expect(judged(unknown, DOSE)).toEqual(OPEN);
  });
});

describe("a value at the bound, in another unit, or of another kind", () => {
  const of = (value: string, maxima = "3 mg/kg", amount = "3.5 mg/kg up to 200 mg") =>
    own(maxima, { rules: accepts(`${DOSE} of local in wrist-reduction up to ${value}`), amount });

  test("goes to the published maximum, and no further", () => {
    expect(judged(of("4 mg/kg", "3 mg/kg", "4 mg/kg up to 200 mg"), DOSE)).toEqual([["local", "4 mg/kg"]]);
    const over = of("4.01 mg/kg");
    expect(judged(over, DOSE)).toEqual(OPEN);
    expect(labels(over)).toEqual(["over the published 4 mg/kg"]);
    expect(findingsOf(over, DOSE)[0]?.related.map(({ note }) => note)).toContain(
      "accepted up to 4.01 mg/kg, in words that cover nothing",
    );
    const aboveLabel = of("4.5 mg/kg", "4 mg/kg", "4.5 mg/kg up to 200 mg");
    expect(judged(aboveLabel, DOSE)).toEqual(OPEN);
  });

  test("goes to what the hospital itself has set as the published maximum, where that is lower", () => {
    const hospital = of("3.5 mg/kg");
    const set = "  set agent-maximum-above-label.lidocaine-per-weight 3.2 mg/kg\n";
    expect(judged({ ...hospital, rules: `${set}${hospital.rules}` }, DOSE)).toEqual(OPEN);
  });

  test("is converted where it measures the same", () => {
    expect(judged(of("3500 mcg/kg"), DOSE)).toEqual([["local", "3500 mcg/kg"]]);
    expect(judged(of("3499 mcg/kg"), DOSE)).toEqual(OPEN);
  });

  test.each(["0.7 mL/kg", "240 mg", "50 mL"])(
    "covers nothing where it is not like the maximum: %s",
    (value) => {
      expect(judged(of(value), DOSE)).toEqual(OPEN);
    },
  );

  test("may be a volume where the maximum is one, and then within what is published as a mass", () => {
    expect(judged(of("0.7 mL/kg", "0.6 mL/kg"), DOSE)).toEqual([["local", "0.7 mL/kg"]]);
    expect(judged(of("0.8 mL/kg", "0.6 mL/kg", "4 mg/kg up to 200 mg"), DOSE)).toEqual([
      ["local", "0.8 mL/kg"],
    ]);
    const over = of("0.9 mL/kg", "0.6 mL/kg", "4.2 mg/kg up to 200 mg");
    expect(judged(over, DOSE)).toEqual(OPEN);
    expect(labels(over)).toEqual(["over the published 4 mg/kg"]);
  });

  test.each([
    [`${DOSE} of local in wrist-reduction up to 10 min`, "unit-mismatch"],
    [`${TIME} of upper-arm in wrist-reduction up to 280 mmHg`, "unit-mismatch"],
    [`${DOSE} of local in wrist-reduction`, "parameter-not-allowed"],
    [`${TIME} of upper-arm in wrist-reduction`, "parameter-not-allowed"],
    ['requirement-broken of "Never" in wrist-reduction up to 10 min', "parameter-not-allowed"],
    ["no-cuff-up of local in wrist-reduction up to 10 min", "parameter-not-allowed"],
    ["early-release of upper-arm in wrist-reduction up to 20 min", "parameter-not-allowed"],
    ["cumulative-dose-over-maximum of local in wrist-reduction up to 4 mg/kg", "parameter-not-allowed"],
    [`${DOSE} of local in wrist-reduction up to 3.5`, "unit-missing"],
    [`${DOSE} of local in wrist-reduction up to 3.5 mgs`, "unit-not-known"],
  ])("is refused, in words, where it cannot be: %s", (what, rule) => {
    expect(errorsOf({ rules: accepts(what) }).map((one) => one.replace(/:.*/, ""))).toEqual([rule]);
  });
});

describe("who answers for it, and for how long", () => {
  const judgedBy = (rules: string, more: Partial<Hospital> = {}) =>
    judged(own("3 mg/kg", { rules, ...more }), DOSE);

  test.each([
    ["one role", UP_TO.replace(' by "Pharmacy"', ""), "one role alone"],
    ["the same role twice", UP_TO.replace("Pharmacy", "Anaesthesia lead"), "one role alone"],
    ["past the review", UP_TO.replace("2027-01-31", "2027-07-01"), "after the review"],
    ["no dose", UP_TO.replace(" of local", ""), "does not say of what"],
    ["a dose that is not there", UP_TO.replace("of local", "of locale"), "no such dose"],
  ])("by %s it covers nothing", (_, rules, label) => {
    expect(judgedBy(rules)).toEqual(OPEN);
    expect(labels(own("3 mg/kg", { rules }))).toEqual([label]);
  });

  test("it counts again once the acceptance has ended", () => {
    expect(judgedBy(UP_TO, { on: "2027-01-31" })).toEqual(COVERED);
    expect(judgedBy(UP_TO, { on: "2027-02-01" })).toEqual(OPEN);
  });

  test("a year ahead at most, and less where the hospital says so", () => {
    const review = [["review by 2027-06-30", "review by 2029-12-31"]] as const;
    const until = (day: string, set = "") => ({
      ...own("3 mg/kg", { rules: `${set}${UP_TO.replace("2027-01-31", day)}`, changes: review }),
    });
    expect(judged(until("2027-11-25"), DOSE)).toEqual(COVERED);
    expect(judged(until("2027-11-26"), DOSE)).toEqual(OPEN);
    const half = `  set ${FAR}.longest-unsafe 6 months\n`;
    expect(judged(until("2027-05-25", half), DOSE)).toEqual(COVERED);
    expect(judged(until("2027-05-26", half), DOSE)).toEqual(OPEN);
    expect(labels(until("2027-05-26", half))).toEqual(["more than 6 months"]);
    const longer = `  set ${FAR}.longest-unsafe 18 months because "Slow" by "Lead"\n`;
    expect(errorsOf(until("2027-11-25", longer))).toHaveLength(1);
    expect(judged(until("2027-11-26", longer), DOSE)).toEqual(OPEN);
  });
});

describe("children", () => {
  const covered = [["age           16 to 85 years", "age           10 to 85 years"]] as const;
  const maxima = "3 mg/kg for age 16 years and over; 2.5 mg/kg for age 15 years and under";
  const byAge = (child: string, adult: string) =>
    `by age {\n 10 to 15 years ${child} up to 150 mg\n 16 to 85 years ${adult}\n}`;
  const judgedAt = (child: string, adult: string, value = "3.5") =>
    findingsOf(
      own(maxima, {
        changes: covered,
        amount: byAge(child, adult),
        rules: UP_TO.replace("3.5", value),
      }),
      DOSE,
    ).map(({ label, accepted }) => [label, accepted !== undefined]);

  test("have a maximum of their own, which counts on where adults are covered, too", () => {
    expect(judgedAt("2.5 mg/kg", "3.5 mg/kg up to 200 mg")).toEqual([
      ["over 3 mg/kg for age 16 years and over", true],
    ]);
    expect(judgedAt("2.6 mg/kg", "3 mg/kg up to 200 mg")).toEqual([
      ["over 2.5 mg/kg for age 15 years and under", false],
    ]);
    const both = judgedAt("2.6 mg/kg", "3.4 mg/kg up to 200 mg");
    expect(both).toEqual([
      ["over 3 mg/kg for age 16 years and over", false],
      ["over 2.5 mg/kg for age 15 years and under", false],
    ]);
  });

  test("are held against what is published for them where the formulary says nothing of them", () => {
    const mixed = (amount: string) =>
      judged(own("2.5 mg/kg", { changes: covered, amount }), DOSE).map(([, upTo]) => upTo);
    expect(mixed(byAge("3 mg/kg", "3.5 mg/kg up to 200 mg"))).toEqual(["3.5 mg/kg"]);
    expect(mixed(byAge("3.1 mg/kg", "3.5 mg/kg up to 200 mg"))).toEqual([undefined]);
  });

  test("alone: the value is bounded by theirs", () => {
    const alone = (value: string) =>
      own("2.5 mg/kg", {
        changes: [["age           16 to 85 years", "age           10 to 15 years"]],
        rules: UP_TO.replace("3.5", value),
        amount: `${value} mg/kg up to 200 mg`,
      });
    expect(judged(alone("3"), DOSE)).toEqual([["local", "3 mg/kg"]]);
    expect(labels(alone("3.2"))).toEqual(["over the published 3 mg/kg"]);
    expect(judged(alone("3.2"), DOSE)).toEqual(OPEN);
  });

  test("and so are others for whom the formulary has a lower maximum", () => {
    const old = own("3 mg/kg for age 69 years and under; 2 mg/kg for age 70 years and over");
    expect(findingsOf(old, DOSE).map(({ accepted }) => accepted?.upTo)).toEqual([undefined, undefined]);
  });
});
