import { type DoseTableOptions, type DoseTableResult, doseTablesOf, Site } from "@limbwright/language";
import { describe, expect, test } from "vitest";
import { tableOf, tableText } from "../../../language/outputs/table/table.ts";
import { baseTexts, ON } from "../rule-file/compiled.ts";
import { exampleTexts } from "../rule-file/example-site.ts";
import { readCsv } from "./read-csv.ts";

type Options = Partial<DoseTableOptions>;

/** Changes of the base protocol: each first text, which must be there, becomes the second. */
type Changes = Readonly<Record<string, string>>;

function textsWith(changes: Changes): Map<string, string> {
  let protocol = baseTexts().get("protocol.limb") ?? "";
  for (const [from, to] of Object.entries(changes)) {
    if (!protocol.includes(from)) throw new Error(`the base protocol has no "${from}"`);
    protocol = protocol.replace(from, to);
  }
  return baseTexts({ "protocol.limb": protocol });
}

function siteWith(changes: Changes): Site {
  const texts = textsWith(changes);
  return new Site((file) => texts.get(file));
}

function resultOf(changes: Changes, options: Options = {}): DoseTableResult {
  const [result] = doseTablesOf(siteWith(changes), "protocol.limb", { on: ON, ...options }) ?? [];
  if (!result) throw new Error("no protocol");
  return result;
}

function protocolWith(changes: Changes) {
  const [protocol] = siteWith(changes).file("protocol.limb")?.protocols ?? [];
  if (!protocol) throw new Error("no protocol");
  return protocol;
}

type Row = Readonly<Record<string, string>>;

function rowsOf(changes: Changes = {}, options: Options = {}): Row[] {
  const result = resultOf(changes, { draft: true, ...options });
  if (result.kind === "refused") throw new Error(result.because);
  const [, headings = [], ...records] = readCsv(result.csv);
  return records.map((record) =>
    Object.fromEntries(headings.map((heading, index) => [heading, record[index] ?? ""])),
  );
}

/** The row of the dose `local` for a weight. */
function local(rows: readonly Row[], weight: string): Row | undefined {
  return rows.find((row) => row.Dose === "local" && row["Weight (kg)"] === weight);
}

const AMOUNT = "3 mg/kg up to 200 mg";
const DRAWN = "Volume to draw up, down to a mark of the syringe (mL)";

describe("a row of the table says", () => {
  const rows = rowsOf();

  test("the dose by the formula, what is drawn up, and its share of the nearest maximum", () => {
    expect(local(rows, "47")).toMatchObject({
      For: "block",
      Agent: "lidocaine",
      "Concentration (mg/mL)": "5",
      "Dose by formula (mg)": "141",
      "Volume by formula (mL)": "28.2",
      [DRAWN]: "28",
      "Dose drawn up (mg)": "140",
      "Dose drawn up (mg/kg, rounded up)": "2.98",
      "Share of the nearest maximum (%, rounded up)": "74.47",
      "Nearest maximum": "4 mg/kg",
      "Cap in force": "",
    });
  });

  test("from where on the cap holds the dose down", () => {
    expect(local(rows, "66")).toMatchObject({ "Dose by formula (mg)": "198", "Cap in force": "" });
    expect(local(rows, "67")).toMatchObject({ "Dose by formula (mg)": "200", "Cap in force": "200 mg" });
    expect(local(rows, "130")).toMatchObject({ "Nearest maximum": "300 mg", "Cap in force": "200 mg" });
  });

  test("ampoules and diluent: 40 mL of 0.5 % from 1 % in 20 mL are one ampoule and 20 mL", () => {
    expect(local(rows, "100")).toMatchObject({
      "Taken from ampoules (mL)": "20",
      "Ampoules opened": "1",
      Ampoule: "1 % in 20 mL",
      "Diluent added (mL)": "20",
      Diluent: "saline 0.9 %",
    });
    const more = local(rowsOf({ [AMOUNT]: "3.9 mg/kg" }), "60");
    expect(more).toMatchObject({
      "Taken from ampoules (mL)": "23",
      "Ampoules opened": "2",
      "Diluent added (mL)": "23",
    });
  });

  test("rescue doses in mL, with repeats, rate and total, and no mass that would distract", () => {
    const rescue = rows.filter(({ For }) => For === "Local anaesthetic systemic toxicity");
    expect(rescue.find((row) => row.Dose === "lipid-bolus" && row["Weight (kg)"] === "70")).toMatchObject({
      "Volume by formula (mL)": "105",
      [DRAWN]: "105",
      "Dose drawn up (mg)": "",
      Repeated: "2 more, every 5 min if still unstable",
    });
    expect(rescue.find((row) => row.Dose === "lipid-infusion" && row["Weight (kg)"] === "100")).toMatchObject(
      {
        "Rate (mL/h)": "1500",
        "Total at most (mL)": "1200",
      },
    );
  });

  test("the cuff pressure by systolic pressure", () => {
    const pressures = rows.filter(({ For }) => For === "cuff pressure");
    const at = (systolic: string) => pressures.find((row) => row["Systolic (mmHg)"] === systolic);
    expect(pressures).toHaveLength(19);
    expect(at("90")).toMatchObject({ "Cuff pressure (mmHg)": "250" });
    expect(at("155")).toMatchObject({ "Cuff pressure (mmHg)": "255" });
    expect(at("180")).toMatchObject({ "Cuff pressure (mmHg)": "280" });
  });

  test("that a pressure is over the ceiling", () => {
    const over = rowsOf({ "ceiling  300 mmHg": "ceiling 270 mmHg" });
    expect(
      over.filter(({ Note }) => Note === "over the ceiling of 270 mmHg").map((row) => row["Systolic (mmHg)"]),
    ).toEqual(["175", "180"]);
  });
});

describe("the edges of bands are shown right", () => {
  const bands = (rows: string) => ({ [AMOUNT]: `by weight {\n${rows}\n}` });

  test("the patient at an edge belongs to the band that is closed there", () => {
    const under = rowsOf(bands("45 kg to under 70 kg   150 mg\n70 kg and over   200 mg"));
    expect(local(under, "69")).toMatchObject({ "Dose by formula (mg)": "150" });
    expect(local(under, "70")).toMatchObject({ "Dose by formula (mg)": "200" });
    const over = rowsOf(bands("45 to 70 kg   150 mg\nover 70 kg   200 mg"));
    expect(local(over, "70")).toMatchObject({ "Dose by formula (mg)": "150" });
    expect(local(over, "71")).toMatchObject({ "Dose by formula (mg)": "200" });
  });

  test("an edge between two kilograms has a row of its own", () => {
    const rows = rowsOf(bands("45 kg to under 49.5 kg   150 mg\n49.5 kg and over   180 mg"));
    const around = rows.filter(
      (row) => row.Dose === "local" && /^(49|49\.5|50)$/.test(row["Weight (kg)"] ?? ""),
    );
    expect(around.map((row) => [row["Weight (kg)"], row["Dose by formula (mg)"]])).toEqual([
      ["49", "150"],
      ["49.5", "180"],
      ["50", "180"],
    ]);
  });

  test("a hole in the bands is an error, so there is no table, and no row would give a dose", () => {
    const hole = bands("45 kg to under 70 kg   150 mg\nover 70 kg   200 mg");
    expect(resultOf(hole, { draft: true })).toMatchObject({
      kind: "refused",
      because: expect.stringContaining("errors"),
    });
    const rows = readCsv(
      tableText(
        tableOf(protocolWith(hole), { draft: true }) ?? {
          note: "",
          columns: [],
          rows: [],
        },
      ),
    );
    const [, headings = [], ...records] = rows;
    const at70 = records.find((record) => record[headings.indexOf("Weight (kg)")] === "70");
    expect(at70?.[headings.indexOf("Dose by formula (mg)")]).toBe("");
    expect(at70?.[headings.indexOf("Note")]).toBe("no dose by this protocol");
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

describe("a table by age", () => {
  const CHILDREN = {
    "age           16 to 85 years": "age 8 to 85 years",
    [AMOUNT]:
      "by age {\n11 years and under 1 mg/kg\n12 to 15 years   2 mg/kg\n16 years and over   3 mg/kg up to 200 mg\n}",
  };

  test("has rows for each range of ages in which something changes", () => {
    const rows = rowsOf(CHILDREN).filter((row) => row.Dose === "local" && row["Weight (kg)"] === "50");
    expect(rows.map((row) => [row.Age, row["Dose by formula (mg)"]])).toEqual([
      ["8 to 11 years", "50"],
      ["12 to 15 years", "100"],
      ["16 to 85 years", "150"],
    ]);
  });
});

describe("numbers are written safely", () => {
  const { csv } = resultOf({}, { draft: true }) as Extract<DoseTableResult, { kind: "written" }>;

  test("without trailing zeros, with a leading zero, with nothing between thousands", () => {
    const numbers = readCsv(csv)
      .slice(2)
      .flat()
      .filter((text) => /^[\d.,]+$/.test(text));
    expect(numbers.length).toBeGreaterThan(1000);
    expect(numbers.filter((text) => !/^(0|[1-9]\d*)(\.\d?[1-9])?$/.test(text))).toEqual([]);
    expect(numbers).toContain("1500");
  });

  test("every record has as many fields as the headings, and ends in CRLF", () => {
    const records = readCsv(csv);
    expect(new Set(records.map((record) => record.length)).size).toBe(1);
    expect(csv.endsWith("\r\n")).toBe(true);
  });

  test("the caution, the status and the protocol stand on top", () => {
    const [[head = ""] = []] = readCsv(csv);
    expect(head).toMatch(/^wrist-reduction, 1\.4\.0, Tarn Hollow Hospital\. DRAFT, not for use\./);
    expect(head).toContain("local policy and licensed practice decide");
  });

  test("headings carry the units", () => {
    const [, headings = []] = readCsv(csv);
    expect(
      headings.filter((heading) => /\((kg|mg|mL|mg\/mL|mmHg|mL\/h|%)/.test(heading)).length,
    ).toBeGreaterThan(12);
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

describe("a table is refused", () => {
  test("while an unsafe finding stands, unless it is to be a draft", () => {
    const refused = resultOf({ [AMOUNT]: "9 mg/kg" });
    expect(refused).toMatchObject({
      kind: "refused",
      because: "`wrist-reduction` is not written: unsafe findings stand.",
    });
    expect(resultOf({ [AMOUNT]: "9 mg/kg" }, { draft: true }).kind).toBe("written");
  });

  test("for patients without limits in weight", () => {
    const unlimited = resultOf({ "weight        45 to 130 kg": "weight 45 kg and over" }, { draft: true });
    expect(unlimited).toMatchObject({ kind: "refused" });
  });
});

test("every example of the hospital that can be compiled has a table", () => {
  const texts = exampleTexts();
  const site = new Site((file) => texts.get(file));
  const results = [...texts.keys()].flatMap(
    (file) => doseTablesOf(site, file, { on: ON, draft: true }) ?? [],
  );
  const written = results.filter((one) => one.kind === "written");
  expect(written.length).toBeGreaterThan(6);
  for (const { csv } of written) expect(readCsv(csv).length).toBeGreaterThan(80);
});
