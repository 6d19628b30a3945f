import { doseTablesOf, patientFigures, Site } from "@limbwright/language";
import { describe, expect, test } from "vitest";
import { filesIn, textOf } from "../../examples/site.ts";
import { ON } from "../rule-file/compiled.ts";

const PATIENT = { weight: "60", age: "40", systolic: "130", circumference: "30" };

function protocolIn(site: Site, file: string) {
  const protocol = site.file(file)?.protocols[0];
  if (!protocol) throw new Error(`${file} has no protocol`);
  return protocol;
}

/** A row of the dose table of a file, by its headings. */
function tableRows(site: Site, file: string): Map<string, string>[] {
  const [result] = doseTablesOf(site, file, { on: ON, draft: true }) ?? [];
  if (result?.kind !== "written") throw new Error(`${file} has no table`);
  const { columns, rows } = result.table;
  return rows.map((row) => new Map(columns.map((column, at) => [column, row[at] ?? ""])));
}

describe("the figures for a patient", () => {
  const drawn = "Volume to draw up, down to a mark of the syringe (mL)";

  // The dose table is the reference; its own tests hold it against figures worked out by hand.
  test("are those of the dose table, for every weight and every pressure in it", () => {
    const site = new Site(textOf);
    const file = "protocols/wrist-reduction.limb";
    let compared = 0;
    for (const row of tableRows(site, file)) {
      const weight = row.get("Weight (kg)") || PATIENT.weight;
      const systolic = row.get("Systolic (mmHg)") || PATIENT.systolic;
      const typed = { ...PATIENT, weight, systolic };
      const { rows } = patientFigures(protocolIn(site, file), typed);
      const name = row.get("Dose") || "cuff pressure";
      const figures = rows.find((one) => one.name === name)?.figures ?? [];
      const told = new Map(
        figures.map(({ label, text }) => [label, text.replace(/ (mL|mg|mmHg|mL\/h)$/, "")]),
      );
      expect([
        name,
        weight,
        told.get("draw up") ?? "",
        told.get("inflate to") ?? "",
        told.get("rate") ?? "",
      ]).toEqual([name, weight, row.get(drawn), row.get("Cuff pressure (mmHg)"), row.get("Rate (mL/h)")]);
      compared += 1;
    }
    expect(compared).toBeGreaterThan(250);
  });
});

describe.each(filesIn("protocols"))("%s", (file) => {
  const site = new Site(textOf);
  const figures = (typed: Partial<typeof PATIENT>) => patientFigures(protocolIn(site, file), typed);

  test("says of every dose and the pressure either a figure or why there is none", () => {
    for (const typed of [PATIENT, {}, { weight: "60" }, { systolic: "130" }]) {
      const { rows, amiss } = figures(typed);
      const said = rows.map((row) => row.figures.length > 0 !== (row.because !== undefined));
      expect(said).not.toContain(false);
      if (Object.keys(typed).length < 3) expect(amiss).toMatch(/not typed|No figures/);
    }
  });

  test("asks for what its doses and pressure need, and says whom it covers", () => {
    const { measures } = figures({});
    expect(measures.map(({ name }) => name)).toEqual(expect.arrayContaining(["weight", "age", "systolic"]));
    expect(measures.find(({ name }) => name === "weight")?.covered).toMatch(/ kg$/);
  });

  test("has no figure for a patient whom it does not cover", () => {
    const { rows, amiss } = figures({ ...PATIENT, weight: "900" });
    expect(rows).toEqual([]);
    expect(amiss).toContain("900 kg is not covered");
  });
});
