import { describe, expect, test } from "vitest";
import { AMOUNT, DRAWN, local, type Row, resultOf, rowsOf } from "./table-rows.ts";

describe("a mass stands in the unit that it was written in", () => {
  const OPIOID = `agent fentanyl {
  kind          adjuvant
  concentration 50 mcg/mL
  syringe       2 mL marked every 0.1 mL
  maximum       100 mcg
  source        "Hospital formulary"
}
`;
  const used = { 'use "formulary.limb"': `use "formulary.limb"\n${OPIOID}` };

  test("75 mcg, not 0.07 mg", () => {
    const sedation = `timer hold from end of local {`;
    const dose = `dose calm of fentanyl {\n amount 75 mcg\n over 1 min\n}\n${sedation}`;
    const rows = rowsOf({ ...used, [sedation]: dose }).filter(({ Dose }) => Dose === "calm");
    expect(rows[0]).toMatchObject({
      "Dose by formula (mcg)": "75",
      "Dose drawn up (mcg)": "75",
      [DRAWN]: "1.5",
      "Dose drawn up (mcg/kg, rounded up)": "1.67",
      "Dose by formula (mg)": "",
      "Dose drawn up (mg)": "",
    });
  });

  test("per weight, and of the strength where the dose is written as a volume", () => {
    const sedation = `timer hold from end of local {`;
    for (const amount of ["1 mcg/kg", "0.02 mL/kg"]) {
      const dose = `dose calm of fentanyl {\n amount ${amount}\n over 1 min\n}\n${sedation}`;
      const rows = rowsOf({ ...used, [sedation]: dose }).filter(({ Dose }) => Dose === "calm");
      const at = (weight: string) => rows.find((row) => row["Weight (kg)"] === weight);
      expect(at("50")).toMatchObject({ "Dose by formula (mcg)": "50", "Dose by formula (mg)": "" });
      expect(at("51")).toMatchObject({ "Dose by formula (mcg)": "51", "Dose drawn up (mcg)": "50" });
    }
  });

  test("of what is mixed in", () => {
    const rows = rowsOf({
      ...used,
      "over   90 s to 3 min": "with fentanyl 75 mcg\n    over   90 s to 3 min",
    });
    expect(local(rows, "47")).toMatchObject({
      "Mixed in": "fentanyl 75 mcg in 1.5 mL",
      "Dose by formula (mg)": "141",
    });
  });

  test("grams as grams", () => {
    const rows = rowsOf({ [AMOUNT]: "0.2 g" });
    expect(local(rows, "50")).toMatchObject({ "Dose by formula (g)": "0.2" });
    expect(Object.keys(rows[0] ?? {}).filter((heading) => /^Dose .*\(mg/.test(heading))).toEqual([]);
  });

  test("grams to the milligram and below: 0.185 g is not 0.18 g, nor 3.7 mg/kg 0.01 g/kg", () => {
    expect(local(rowsOf({ [AMOUNT]: "0.185 g" }), "50")).toMatchObject({
      "Dose by formula (g)": "0.185",
      "Dose drawn up (g)": "0.185",
      "Dose drawn up (g/kg, rounded up)": "0.0037",
    });
  });
});

describe("between two rows", () => {
  const around = (amount: string, from: number, to: number) =>
    rowsOf({ [AMOUNT]: amount })
      .filter(({ Dose }) => Dose === "local")
      .map((row) => [row["Weight (kg)"] ?? "", row["Dose by formula (mg)"], row[DRAWN]])
      .filter(([weight = ""]) => {
        const kg = Number(/[\d.]+/.exec(weight)?.[0]);
        return kg >= from && kg <= to;
      });
  // They meet at 50.375 kg, with 151.125 mg.
  const VALLEY = "greater of 604.5 mg - 9 mg/kg and 3 mg/kg";

  test("a band without its ends has a row of its own: neither neighbour gives as little", () => {
    const bands =
      "by weight {\n45 to 49.2 kg 150 mg\nover 49.2 kg to under 49.8 kg 100 mg\n49.8 kg and over 180 mg\n}";
    expect(around(bands, 49.1, 49.9)).toEqual([
      ["49.2", "150", "30"],
      ["over 49.2 kg to under 49.8 kg", "100", "20"],
      ["49.8", "180", "36"],
    ]);
  });

  test("the lowest point of two lines that cross has one, in the decimals of paper", () => {
    expect(around(VALLEY, 50, 51)).toEqual([
      ["50", "154.5", "30"],
      ["over 50 kg to under 51 kg", "151.12", "30"],
      ["51", "153", "30"],
    ]);
  });

  test("a step down has one where it is lower than both", () => {
    const step = "by weight {\n45 to 59.5 kg 3 mg/kg\nover 59.5 kg (3 mg/kg) - 30 mg\n}";
    const weights = around(step, 59.5, 60).map(([weight]) => weight);
    expect(weights).toEqual(["59.5", "over 59.5 kg to under 60 kg", "60"]);
  });

  test.each(["3 mg/kg up to 200 mg", "3 mg/kg rounded down to 10 mg", "lesser of 3 mg/kg and 40 mL"])(
    "none where it never falls: %s",
    (amount) => {
      expect(around(amount, 45, 130)).toHaveLength(86);
    },
  );

  test("no patient is given less by the formula than is read off the table", () => {
    const rows = around(VALLEY, 45, 130).map(([weight = "", mass]) => [weight, Number(mass)] as const);
    for (let weight = 45; weight <= 130; weight += 1 / 16) {
      const read = rows.filter(([text]) => {
        const [from = 0, to] = [...text.matchAll(/[\d.]+/g)].map(([number]) => Number(number));
        return to === undefined ? Math.abs(from - weight) < 1 : from < weight && weight < to;
      });
      const exact = Math.max(604.5 - 9 * weight, 3 * weight);
      expect(Math.min(...read.map(([, mass]) => mass))).toBeLessThanOrEqual(exact);
    }
  });

  test("a pressure that is higher than at both neighbours has one", () => {
    const bands =
      "by systolic {\n90 to 131 mmHg 250 mmHg\nover 131 mmHg to under 134 mmHg 280 mmHg\n134 mmHg and over 260 mmHg\n}";
    const pressures = rowsOf({ "greater of systolic + 100 mmHg and 250 mmHg": bands })
      .filter(({ For }) => For === "cuff pressure")
      .map((row) => [row["Systolic (mmHg)"], row["Cuff pressure (mmHg)"]]);
    const at = pressures.findIndex(([systolic]) => systolic === "131");
    expect(pressures.slice(at, at + 3)).toEqual([
      ["131", "250"],
      ["over 131 mmHg to under 134 mmHg", "280"],
      ["134", "260"],
    ]);
  });
});

describe("what is drawn up is read off at the marks of the syringe", () => {
  const OVER = "over   90 s to 3 min";
  const LIPID = "amount 1.5 mL/kg";
  const inSyringe = (syringe: string, of = OVER) => ({ [of]: `${of}\n    syringe ${syringe}` });
  const bolus = (rows: readonly Row[], weight: string) =>
    rows.find((row) => row.Dose === "lipid-bolus" && row["Weight (kg)"] === weight);

  test("where none is named, at a whole mL, and the row says so", () => {
    expect(local(rowsOf(), "47")).toMatchObject({ [DRAWN]: "28", Syringe: "none named: down to a whole mL" });
  });

  test("of the one that the dose names", () => {
    expect(local(rowsOf(inSyringe("50 mL marked every 0.5 mL")), "47")).toMatchObject({ [DRAWN]: "28" });
    expect(local(rowsOf(inSyringe("10 mL marked every 0.1 mL")), "47")).toMatchObject({
      [DRAWN]: "28.2",
      Syringe: "10 mL, marked every 0.1 mL",
      "Dose drawn up (mg)": "141",
    });
  });

  test("of each dose its own: never one for all", () => {
    const rows = rowsOf({
      ...inSyringe("10 mL marked every 0.1 mL"),
      ...inSyringe("50 mL marked every 2 mL", LIPID),
    });
    expect(local(rows, "47")).toMatchObject({ [DRAWN]: "28.2" });
    expect(bolus(rows, "47")).toMatchObject({ "Volume by formula (mL)": "70.5", [DRAWN]: "70" });
  });

  test("never more than the formula gives", () => {
    const volumes = rowsOf(inSyringe("30 mL marked every 3 mL"))
      .filter(({ Dose }) => Dose === "local")
      .map((row) => [row["Volume by formula (mL)"], row[DRAWN]].map(Number));
    expect(volumes).toHaveLength(86);
    expect(volumes.every(([formula = 0, drawn = 0]) => drawn <= formula && formula - drawn < 3)).toBe(true);
  });

  test.each([
    ["0.012 mL/kg", "0.012", "0.6"],
    ["0.001 mL/kg", "0.001", "0.05"],
    ["0.00005 mL/kg", "0.00005", "0.0025"],
  ])("no syringe is guessed for a small dose: %s", (amount, perKilogram, drawn) => {
    const rows = rowsOf({ [LIPID]: `amount ${amount}` });
    expect(bolus(rows, "50")).toMatchObject({ [DRAWN]: drawn, Syringe: "none named: not rounded" });
    const least = Number(perKilogram) * 45;
    expect(Number(bolus(rows, "45")?.[DRAWN])).toBeGreaterThan(least * 0.99);
  });

  test.each([
    ["a rescue dose below the first mark", "0.6 mL", "10 mL marked every 1 mL"],
    ["a rescue dose that the marks take a fifth of", "0.6 mL", "10 mL marked every 0.5 mL"],
  ])("no plain number stands there: %s", (_what, amount, syringe) => {
    const changes = { [LIPID]: `amount ${amount}\n      syringe ${syringe}` };
    expect(resultOf(changes).kind).toBe("refused");
    expect(bolus(rowsOf(changes), "50")).toMatchObject({
      "Volume by formula (mL)": "0.6",
      [DRAWN]: "",
      Note: "its syringe cannot measure it",
    });
  });

  test("of the block a number stands there, with what the check says about it", () => {
    const changes = inSyringe("50 mL marked every 5 mL");
    expect(resultOf(changes).kind).toBe("written");
    expect(local(rowsOf(changes), "49")).toMatchObject({ "Volume by formula (mL)": "29.4", [DRAWN]: "25" });
  });

  test("as finely as the marks are", () => {
    const fine = { [LIPID]: "amount 0.125 mL\n      syringe 0.5 mL marked every 0.005 mL" };
    expect(bolus(rowsOf(fine), "50")).toMatchObject({ [DRAWN]: "0.125" });
  });
});
