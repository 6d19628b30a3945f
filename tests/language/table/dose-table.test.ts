import { type DoseTableResult, doseTablesOf, Site } from "@limbwright/language";
import { describe, expect, test } from "vitest";
import { tableOf, tableText } from "../../../language/outputs/table/table.ts";
import { ON } from "../rule-file/compiled.ts";
import { exampleTexts } from "../rule-file/example-site.ts";
import { readCsv } from "./read-csv.ts";
import { AMOUNT, DRAWN, local, protocolWith, resultOf, rowsOf } from "./table-rows.ts";

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
    const [headings = [], ...records] = rows;
    const at70 = records.find((record) => record[headings.indexOf("Weight (kg)")] === "70");
    expect(at70?.[headings.indexOf("Dose by formula (mg)")]).toBe("");
    expect(at70?.[headings.indexOf("Note")]).toBe("no dose by this protocol");
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
      .slice(1)
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

  test("the headings are the first record, and the caution, the status and the protocol a comment at the end", () => {
    const records = readCsv(csv);
    expect(records[0]).toContain("Weight (kg)");
    const [mark, note = ""] = records.at(-1) ?? [];
    expect(mark).toBe("#");
    expect(note).toMatch(/^wrist-reduction, 1\.4\.0, Tarn Hollow Hospital\. DRAFT, not for use\./);
    expect(note).toContain("local policy and licensed practice decide");
    expect(records.filter(([first]) => first === "#")).toHaveLength(1);
  });

  test("each row of a draft says that it is one; of what may be followed none does", () => {
    const [headings = [], ...rows] = readCsv(csv).filter(([first]) => first !== "#");
    expect(headings[0]).toBe("Standing");
    expect(new Set(rows.map(([first]) => first))).toEqual(new Set(["DRAFT, not for use"]));
    const whole = resultOf({});
    expect(whole.kind === "written" && whole.table.columns).not.toContain("Standing");
  });

  test("headings carry the units", () => {
    const [headings = []] = readCsv(csv);
    expect(
      headings.filter((heading) => /\((kg|mg|mL|mg\/mL|mmHg|mL\/h|%)/.test(heading)).length,
    ).toBeGreaterThan(12);
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
