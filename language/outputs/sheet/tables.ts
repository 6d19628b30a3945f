import { placeOf } from "@limbwright/shared/finding";
import { quantityText } from "@limbwright/shared/quantity";
import type { Dose, Protocol } from "../../model/index.ts";
import { limitText } from "../../rules/facts/maximum.ts";
import { lastingText } from "../automaton/words.ts";
import { COLUMNS, type ColumnKey, drugText, type TableRow, TO_WHOLE_ML } from "../table/columns.ts";
import { rowsOf } from "../table/table.ts";
import type { SheetRow, SheetTable } from "./sheet.ts";

/** The tables of a sheet; those of an emergency by its name. */
export interface SheetTables {
  readonly doses: readonly SheetTable[];
  readonly pressures: readonly SheetTable[];
  readonly emergencies: ReadonlyMap<string, readonly SheetTable[]>;
}

/**
 * The rows of the dose table, sorted into tables that fit on paper: the figures are the dose table's own. Undefined where
 * there is none, since weights or pressures are without limits.
 */
export function tablesOf(protocol: Protocol): SheetTables | undefined {
  const rows = rowsOf(protocol);
  if (!rows) return undefined;
  const laying = new Laying();
  const rowsFor = (dose: Dose) => rows.filter((row) => row.kind === "dose" && row.row.dose === dose);
  const own = protocol.doses.filter(({ emergency }) => emergency === undefined);
  return {
    doses: own.flatMap((dose) => laying.doseTable(dose, rowsFor(dose))),
    pressures: laying.pressureTable(
      protocol,
      rows.filter(({ kind }) => kind === "pressure"),
    ),
    emergencies: new Map(
      protocol.emergencies.map(({ name }) => {
        const doses = protocol.doses.filter(({ emergency }) => emergency === name);
        return [name, laying.rescueTables(doses.map((dose) => ({ dose, rows: rowsFor(dose) })))];
      }),
    ),
  };
}

interface DoseWithRows {
  readonly dose: Dose;
  readonly rows: readonly TableRow[];
}

/** A column of a sheet: its short heading, and the columns of the dose table that its text is from. */
interface Wanted {
  readonly key: ColumnKey;
  readonly heading: string;
}

const OF_PATIENT: readonly Wanted[] = [
  { key: "age", heading: "age" },
  { key: "circumference", heading: "limb" },
];

/** A dose may differ with the systolic pressure, too; of two rows for the same weight it is said for whom each is. */
const DOSED: readonly Wanted[] = [...OF_PATIENT, { key: "systolic", heading: "systolic" }];

const WEIGHT: Wanted = { key: "weight", heading: "weight" };

const OF_DOSE: readonly Wanted[] = [
  { key: "drawn", heading: "mL" },
  { key: "drawnMass", heading: "mg" },
  { key: "drawnMicrograms", heading: "mcg" },
  { key: "drawnGrams", heading: "g" },
  { key: "massPerWeight", heading: "mg/kg" },
  { key: "microgramsPerWeight", heading: "mcg/kg" },
  { key: "gramsPerWeight", heading: "g/kg" },
  { key: "share", heading: "% of max." },
  { key: "cap", heading: "cap" },
  { key: "rateVolume", heading: "mL/h" },
  { key: "rateMass", heading: "mg/h" },
  { key: "rateMicrograms", heading: "mcg/h" },
  { key: "rateGrams", heading: "g/h" },
  { key: "totalVolume", heading: "mL in all" },
  { key: "totalMass", heading: "mg in all" },
  { key: "totalMicrograms", heading: "mcg in all" },
  { key: "totalGrams", heading: "g in all" },
  { key: "stock", heading: "ampoule mL" },
  { key: "diluentVolume", heading: "diluent mL" },
  { key: "ampoules", heading: "amp." },
  { key: "mixedIn", heading: "mixed in" },
  { key: "note", heading: "note" },
];

const OF_RESCUE: ReadonlySet<ColumnKey> = new Set([
  "drawn",
  "drawnMass",
  "drawnMicrograms",
  "drawnGrams",
  "rateVolume",
  "rateMass",
  "rateMicrograms",
  "rateGrams",
  "totalVolume",
  "totalMass",
  "totalMicrograms",
  "totalGrams",
  "note",
]);

/** What changes from one weight to the next although the same is drawn up. */
const PER_WEIGHT: ReadonlySet<ColumnKey> = new Set([
  "massPerWeight",
  "microgramsPerWeight",
  "gramsPerWeight",
  "share",
]);

/** As many rows as these that draw up the same are one band of weights. */
const LEAST_BAND = 3;

/** More doses than these are not read well in one row. */
const MOST_BESIDE = 3;

class Laying {
  doseTable(dose: Dose, rows: readonly TableRow[]): SheetTable[] {
    const [first] = rows;
    if (!first) return [];
    const shown = this.#saying([...DOSED, ...OF_DOSE], rows);
    const [alike, differing] = this.#separateAlike(shown, rows);
    const wanted = [{ key: "weight" as const, heading: "kg" }, ...differing];
    return [
      {
        caption: `${dose.name}: ${drugText(dose)}`.trim(),
        facts: [
          ...this.#factsOf(first, rows),
          ...alike.map(({ key, heading }) => `${heading} ${this.#text(key, first)}`),
        ],
        headings: wanted.map(({ heading }) => heading),
        rows: this.#joinInBands(wanted, rows),
        place: placeOf(dose.origin),
      },
    ];
  }

  /** One table for all doses of an emergency where their rows are for the same patients, else one for each. */
  rescueTables(doses: readonly DoseWithRows[]): SheetTable[] {
    const [first] = doses;
    if (!first) return [];
    const patients = (rows: readonly TableRow[]) =>
      rows.map((row) =>
        ["weight" as const, ...DOSED.map(({ key }) => key)].map((key) => this.#text(key, row)).join(),
      );
    const known = patients(first.rows).join(";");
    const areAlike = doses.every(({ rows }) => patients(rows).join(";") === known);
    return areAlike && doses.length <= MOST_BESIDE
      ? [this.#rescueTable("Rescue doses by weight", first, doses)]
      : doses.map((one) => this.#rescueTable(`Rescue dose by weight: ${one.dose.name}`, one, [one]));
  }

  #rescueTable(caption: string, first: DoseWithRows, doses: readonly DoseWithRows[]): SheetTable {
    const { rows } = first;
    const ofPatient = this.#saying(DOSED, rows);
    const parts = doses.map((one) => ({
      ...one,
      wanted: this.#saying(
        OF_DOSE.filter(({ key }) => OF_RESCUE.has(key)),
        one.rows,
      ),
    }));
    const cells = (at: number, keys: readonly Wanted[], of: readonly TableRow[]) =>
      keys.map(({ key }) => (of[at] ? this.#text(key, of[at]) : ""));
    return {
      caption,
      facts: doses.map(({ dose, rows: own }) => this.#givingText(dose, own)),
      headings: [
        "kg",
        ...ofPatient.map(({ heading }) => heading),
        ...parts.flatMap(({ dose, wanted }) => wanted.map(({ heading }) => `${dose.name} ${heading}`)),
      ],
      rows: rows.map((row, at) => ({
        cells: [
          this.#text("weight", row),
          ...cells(at, ofPatient, rows),
          ...parts.flatMap(({ wanted, rows: own }) => cells(at, wanted, own)),
        ],
        isCapped: false,
        isOver: isOver(row),
      })),
      place: placeOf(first.dose.origin),
    };
  }

  /** A column for each range of limbs, ages or weights between which the pressure changes. */
  pressureTable(protocol: Protocol, rows: readonly TableRow[]): SheetTable[] {
    if (rows.length === 0) return [];
    const groups = this.#byRanges(rows);
    const along = (of: readonly TableRow[]) => of.map((row) => this.#text("systolic", row));
    const texts = along(groups[0]?.rows ?? []).map((systolic, at) => {
      const pressures = groups.map(({ rows: own }) => this.#pressureText(own[at]));
      return { cells: [systolic, ...pressures], alike: pressures.join("|") };
    });
    const ceiling = protocol.cuffs?.ceiling;
    return [
      {
        caption: "Cuff pressure by systolic pressure, mmHg",
        facts: ceiling ? [`never over ${quantityText(ceiling)}`] : [],
        headings: ["systolic", ...groups.map(({ ranges }) => ranges || "cuff")],
        rows: bands(texts).map(({ cells }) => ({ cells, isCapped: false, isOver: false })),
        place: placeOf(protocol.cuffs?.origin ?? protocol.origin),
      },
    ];
  }

  /** The columns that say something of one of the rows. */
  #saying(wanted: readonly Wanted[], rows: readonly TableRow[]): Wanted[] {
    return wanted.filter(({ key }) => rows.some((row) => this.#text(key, row) !== ""));
  }

  #pressureText(row: TableRow | undefined): string {
    return row ? `${this.#text("pressure", row)} ${this.#text("note", row)}`.trim() : "";
  }

  #byRanges(rows: readonly TableRow[]): { readonly ranges: string; readonly rows: TableRow[] }[] {
    const groups = new Map<string, TableRow[]>();
    for (const row of rows) {
      const ranges = this.#saying([WEIGHT, ...OF_PATIENT], [row]);
      const key = ranges.map(({ key: of, heading }) => `${heading} ${this.#text(of, row)}`).join(", ");
      groups.set(key, [...(groups.get(key) ?? []), row]);
    }
    return [...groups].map(([ranges, own]) => ({ ranges, rows: own }));
  }

  #text(key: ColumnKey, row: TableRow): string {
    return COLUMNS[key].text(row);
  }

  #factsOf(row: TableRow, rows: readonly TableRow[]): string[] {
    const ampoule = this.#text("ampoule", row);
    const diluent = this.#text("diluent", row);
    const maxima = (row.kind === "dose" && row.row.dose.agent?.maxima.map(limitText).join(", ")) || "";
    return [
      this.#syringeText(rows),
      ampoule && `ampoules ${ampoule}`,
      diluent && `diluent ${diluent}`,
      maxima && `% of the nearest maximum: ${maxima}`,
      this.#text("repeated", row),
    ].filter((fact) => fact !== "");
  }

  /** "syringe: 1 mL, marked every 0.01 mL"; empty where nothing is drawn up, and where a whole mL in the row says it. */
  #syringeText(rows: readonly TableRow[]): string {
    const said = [...new Set(rows.map((row) => this.#text("syringe", row)))].filter(
      (text) => text !== "" && text !== TO_WHOLE_ML,
    );
    return said.length === 0 ? "" : `syringe: ${said.join("; ")}`;
  }

  #givingText(dose: Dose, rows: readonly TableRow[]): string {
    const [row] = rows;
    const over =
      dose.over && ` over ${lastingText(dose.over.shortest.valueOf(), dose.over.longest?.valueOf())}`;
    const repeated = row ? this.#text("repeated", row) : "";
    const again = repeated === "" ? "" : `; ${repeated}`;
    const syringe = this.#syringeText(rows);
    const drawn = syringe === "" ? "" : `; ${syringe}`;
    return `${dose.name}: ${drugText(dose)}${over ?? ""}${again}${drawn}`;
  }

  /** Columns that say the same in every row, and the others. A cap is always shown at its rows. */
  #separateAlike(wanted: readonly Wanted[], rows: readonly TableRow[]): [Wanted[], Wanted[]] {
    const isAlike = ({ key }: Wanted) =>
      (key === "mixedIn" || key === "note") && new Set(rows.map((row) => this.#text(key, row))).size === 1;
    return [wanted.filter(isAlike), wanted.filter((one) => !isAlike(one))];
  }

  #joinInBands(wanted: readonly Wanted[], rows: readonly TableRow[]): SheetRow[] {
    const alike = wanted.filter(({ key }) => key !== "weight" && !PER_WEIGHT.has(key));
    const drawn = rows.map((row) => ({
      cells: wanted.map(({ key }) => this.#text(key, row)),
      isCapped: this.#text("cap", row) !== "",
      isOver: isOver(row),
      alike: [...alike.map(({ key }) => this.#text(key, row)), String(isOver(row))].join("|"),
    }));
    return bands(drawn).map(({ alike: _, ...row }) => row);
  }
}

function isOver({ kind, row }: TableRow): boolean {
  return kind === "dose" && row.share !== undefined && row.share.of.compare(1) > 0;
}

/** Rows one after the other that are alike, as one band with the first and the last of what differs. */
function bands<Row extends { readonly cells: readonly string[]; readonly alike: string }>(
  rows: readonly Row[],
): Row[] {
  const groups: Row[][] = [];
  for (const row of rows) {
    const last = groups.at(-1);
    if (last?.[0]?.alike === row.alike) last.push(row);
    else groups.push([row]);
  }
  return groups.flatMap((group) =>
    group.length < LEAST_BAND
      ? group
      : group.slice(0, 1).map((row) => ({ ...row, cells: bandOf(group.map(({ cells }) => cells)) })),
  );
}

/** "67 to 130", "2.99 to 1.54". */
function bandOf(group: readonly (readonly string[])[]): string[] {
  const [first = []] = group;
  const last = group.at(-1) ?? first;
  return first.map((cell, at) => (cell === last[at] ? cell : `${cell} to ${last[at]}`));
}
