import type { PatientEvidence, Repair } from "@limbwright/shared/finding";
import { type Endpoint, type Interval, intersect, isDecimal, isEmpty } from "@limbwright/shared/quantity";
import { type AmountBand, type AmountNode, type Protocol, partsOfAmount } from "../../model/index.ts";
import { writeInstead } from "../../model/text-changes.ts";
import { type Box, bandFaults, hull, type Overlap, rangeText, regionText } from "../../population/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { combine, type Detected, found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";

export const rule: Rule = { judge };

function judge({ protocol, box }: RuleContext): Judgement {
  return combine(amountsOf(protocol).map(({ node, of }) => judgeNode(node, { of, box, singledOut: {} })));
}

/** Every amount of the protocol, with what it is the amount of. */
function amountsOf({ doses, cuffs }: Protocol): { readonly node: AmountNode; readonly of: string }[] {
  const named = [
    ...doses.flatMap((dose) => {
      const parts = [dose.amount, dose.sameAmount, dose.rate, dose.total];
      const adjuvants = dose.adjuvants.map(({ amount }) => amount);
      return [...parts, ...adjuvants].map((amount) => ({ amount, of: `\`${dose.name}\`` }));
    }),
    { amount: cuffs?.pressure, of: "`pressure`" },
    { amount: cuffs?.occlusion, of: "`occlusion`" },
  ];
  return named.flatMap(({ amount, of }) => (amount ? [{ node: amount.node, of }] : []));
}

/** The tables within an amount. `occlusion-pressure` is left out: its table is judged where it stands. */
function judgeNode(node: AmountNode, place: Place): Judgement {
  if (node.kind === "occlusion-pressure") return HOLDS;
  if (node.kind !== "bands") return combine(partsOfAmount(node).map((part) => judgeNode(part, place)));
  return combine([judgeTable(node, place), ...node.rows.map((row) => judgeRow(node, row, place))]);
}

/** A table inside a row has to answer for the patients of that row alone. */
function judgeRow({ variable }: BandTable, row: BandTable["rows"][number], place: Place): Judgement {
  const range = intersect(row.range.interval, place.box[variable] ?? {});
  if (isEmpty(range)) return HOLDS;
  const narrow = (of: Box) => ({ ...of, [variable]: range });
  return judgeNode(row.amount, {
    ...place,
    box: narrow(place.box),
    singledOut: narrow(place.singledOut),
  });
}

function judgeTable(table: BandTable, place: Place): Judgement {
  const covered = place.box[table.variable];
  const ranges = table.rows.map((row) => row.range.interval);
  const { gaps, overlaps } = bandFaults(ranges, covered ?? ranges.reduce(hull));
  const faults: Detected[] = [
    ...gaps.map((gap) => gapFound(table, gap, place)),
    ...overlaps.map((overlap) => overlapFound(table, overlap, place)),
  ];
  return covered ? found(...faults) : combine([found(...faults), openEnds(table)]);
}

/** Without a stated range of the patients only the holes between the rows are known to be holes. */
function openEnds({ rows, variable, origin }: BandTable): Judgement {
  const { lower, upper } = rows.map((row) => row.range.interval).reduce(hull);
  return lower || upper
    ? undecided(
        `\`patients\` does not state their ${variable}, so whether the table reaches far enough is not known`,
        origin,
      )
    : HOLDS;
}

type BandTable = AmountNode & { readonly kind: "bands" };

/** Where a table stands: what it is the amount of, whom it has to answer for, and what singles them out. */
interface Place {
  readonly of: string;
  readonly box: Box;
  readonly singledOut: Box;
}

/** Patients who have no row: told at the row before them, which is the one to lengthen. */
function gapFound(table: BandTable, gap: Interval, place: Place): Detected {
  const before = table.rows.find(({ range }) => isNextTo(range.interval.upper, gap.lower));
  const after = table.rows.find(({ range }) => isNextTo(range.interval.lower, gap.upper));
  const blamed = before ?? after ?? table.rows[0];
  const whom = textOf(table, gap, place);
  return {
    origin: blamed?.range.origin ?? table.origin,
    what: `The table of ${place.of} has no row for patients ${patientsIn(table, gap, place)}.`,
    label: `no row for ${whom}`,
    next: before
      ? `Let this row, or the next, reach that far. ${whereRowsEnd(table)}`
      : "Add a row for them, or leave these patients out under `patients`.",
    ...(before && after && { related: [{ origin: after.range.origin, note: "the next row" }] }),
    patients: evidence(whom, place.box[table.variable], gap),
    repairs: before && after ? lengthenRow(before, gap) : [],
  };
}

/** Patients who have two rows: told at the later one. */
function overlapFound(table: BandTable, overlap: Overlap, place: Place): Detected {
  const first = table.rows[overlap.first];
  const second = table.rows[overlap.second];
  if (!first || !second) throw new Error("an overlap names rows that the table does not have");
  return {
    origin: second.range.origin,
    what: `The table of ${place.of} has two rows for patients ${patientsIn(table, overlap.range, place)}.`,
    label: "a second row for the same patients",
    next: `Let each patient stand in one row. ${whereRowsEnd(table)}`,
    related: [{ origin: first.range.origin, note: "the other row" }],
    patients: evidence(textOf(table, overlap.range, place), place.box[table.variable], overlap.range),
    repairs: shortenRow(first, second),
  };
}

/** Ages are completed years, so that a row by age has its last one. */
function whereRowsEnd({ variable }: BandTable): string {
  return variable === "age"
    ? "A row ends with the last age before the one with which the next begins: `16 to 64 years`, then `65 to 85 years`."
    : "A row ends *under* where the next one begins.";
}

function isNextTo(a: Endpoint | undefined, b: Endpoint | undefined): boolean {
  return a !== undefined && b !== undefined && a.value.equals(b.value) && a.closed !== b.closed;
}

function textOf({ variable }: BandTable, range: Interval, { singledOut }: Place): string {
  return regionText({ ranges: { ...singledOut, [variable]: range }, exact: true, everybody: false });
}

/** "between 49 and 50 kg" for a hole between two rows, else the range as it is. */
function patientsIn(table: BandTable, range: Interval, place: Place): string {
  const { lower, upper } = range;
  const isOpen = lower && upper && !lower.closed && !upper.closed;
  const text = textOf(table, range, place);
  if (!isOpen || table.variable !== "weight" || Object.keys(place.singledOut).length > 0) return `of ${text}`;
  const ends = { lower: { ...lower, closed: true }, upper: { ...upper, closed: true } };
  return `between ${rangeText(ends, "kg").replace(" to ", " and ")}`;
}

function evidence(text: string, covered: Interval | undefined, range: Interval): PatientEvidence {
  const everybody = covered !== undefined && covered.lower === range.lower && covered.upper === range.upper;
  return { ranges: [text], exact: true, everybody };
}

/** The row before the gap reaches to the row after it. */
function lengthenRow(before: AmountBand, gap: Interval): Repair[] {
  const { upper } = gap;
  return upper ? rewriteRow(before, { ...before.range.interval, upper }) : [];
}

/** The row that starts first ends where the other begins. */
function shortenRow(first: AmountBand, second: AmountBand): Repair[] {
  const start = second.range.interval.lower;
  if (!start) return [];
  const upper = { value: start.value, closed: !start.closed };
  const interval = { ...first.range.interval, upper };
  const earlier = first.range.interval.lower;
  if (isEmpty(interval) || (earlier && earlier.value.compare(start.value) >= 0)) return [];
  return rewriteRow(first, interval);
}

/** A range in the words of the language, which says `70 kg and under` for what is told as "up to 70 kg". */
function rangeWords(interval: Interval, unit: AmountBand["range"]["unit"]): string {
  return rangeText(interval, unit).replace(/^up to (.*)$/, "$1 and under");
}

function rewriteRow({ range }: AmountBand, interval: Interval): Repair[] {
  const edges = [interval.lower, interval.upper].filter((edge) => edge !== undefined);
  if (edges.some(({ value }) => !isDecimal(value))) return [];
  return writeInstead(range.origin, rangeWords(interval, range.unit));
}
