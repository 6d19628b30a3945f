import { intersect, isEmpty } from "@limbwright/shared/quantity";
import { type AmountNode, type Protocol, partsOfAmount } from "../../model/index.ts";
import { type Box, bandFaults, hull } from "../../population/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { combine, type Detected, found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import { type BandTable, gapFound, overlapFound, type Place } from "./words.ts";

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
