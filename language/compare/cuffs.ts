import { amountWords, type Cuff, type CuffSet } from "../model/index.ts";
import { difference } from "../population/bands.ts";
import { rangeText } from "../population/index.ts";
import { type AmountDifference, amountDifference, evidenceIn } from "./amounts.ts";
import { limitChange } from "./limits.ts";
import { meansTheSame } from "./same.ts";
import { bothSides, type FoundChange, kindOf, type Sides } from "./side.ts";

const ABOUT = "cuffs";

/** The cuffs: how many, where, what is written on them, and the pressure they are inflated to. */
export function cuffChanges(sides: Sides): FoundChange[] {
  const [before, now] = [sides.before.cuffs, sides.now.cuffs];
  if (!before || !now) {
    if (before === now) return [];
    const what = now ? "The cuffs are stated now." : "The cuffs are no longer stated.";
    return [{ kind: "different", about: ABOUT, what, ...bothSides(before, now, () => ABOUT) }];
  }
  return [
    ...countChange(before, now),
    ...labelChanges(before, now),
    ...placeChange(before, now),
    ...pressureChange(before, now, sides),
    ...limitChange(
      { about: ABOUT, name: "The ceiling of the cuff pressure", tighter: "lower" },
      before.ceiling,
      now.ceiling,
    ),
    ...fitChange(before, now),
  ];
}

function countChange(before: CuffSet, now: CuffSet): FoundChange[] {
  if (before.cuffs.length === now.cuffs.length) return [];
  const told = ({ cuffs }: CuffSet) => cuffs.map(({ name }) => name).join(", ");
  return [
    {
      kind: "different",
      about: ABOUT,
      what: `There are other cuffs now: ${told(now)}; before, ${told(before)}.`,
      ...bothSides(before, now, told),
      isOfFirstNumber: true,
    },
  ];
}

/** Somebody reads a label at the bedside: only a person can say whether it still tells the cuffs apart. */
function labelChanges(before: CuffSet, now: CuffSet): FoundChange[] {
  return now.cuffs.flatMap((cuff, at): FoundChange[] => {
    const old = before.cuffs[at];
    if (!old || old.label === cuff.label) return [];
    const told = ({ label }: Cuff) => (label === undefined ? "no label" : `“${label}”`);
    return [
      {
        kind: "needs-a-reader",
        about: `cuff \`${cuff.name}\``,
        what: `The cuff \`${cuff.name}\` carries ${told(cuff)} now; before, ${told(old)}.`,
        ...bothSides(old, cuff, told),
      },
    ];
  });
}

function placeChange(before: CuffSet, now: CuffSet): FoundChange[] {
  if (before.place?.value === now.place?.value) return [];
  return [
    {
      kind: "different",
      about: ABOUT,
      what: `The cuffs sit on the ${now.place?.value ?? "limb"} now; before, on the ${before.place?.value ?? "limb"}.`,
      ...bothSides(before.place, now.place, ({ value }) => value),
    },
  ];
}

/** Too low a pressure lets the drug past the cuff, too high a one harms the nerve: neither is looser. */
function pressureChange(before: CuffSet, now: CuffSet, { covered }: Sides): FoundChange[] {
  const [old, recent] = [before.pressure, now.pressure];
  if (meansTheSame(old, recent)) return [];
  const found: AmountDifference =
    old && recent
      ? amountDifference(old.expression, recent.expression, covered, {
          unit: "mmHg",
          more: "higher",
          less: "lower",
          moreIs: "different",
          lessIs: "different",
        })
      : { limit: "only one version states a pressure" };
  const evidence = evidenceIn(found);
  if (evidence.length === 0 && found.limit === undefined && !found.forOthers) return [];
  const told = (one: typeof old) => (one ? amountWords(one.node) : "not stated");
  return [
    {
      kind: "different",
      about: "cuff pressure",
      what: `The cuffs are inflated to ${told(recent)} now; before, ${told(old)}.`,
      ...bothSides(old, recent, told),
      evidence,
      ...(found.limit !== undefined && { notDecided: found.limit }),
    },
  ];
}

function fitChange(before: CuffSet, now: CuffSet): FoundChange[] {
  const [old, recent] = [before.fits, now.fits];
  if (meansTheSame(old?.interval, recent?.interval)) return [];
  const gained = difference(recent?.interval ?? {}, old?.interval ?? {});
  const lost = difference(old?.interval ?? {}, recent?.interval ?? {});
  const told = ({ interval }: NonNullable<typeof old>) => rangeText(interval, "cm");
  const value = (side: "looser" | "tighter", says: string) => ({ kind: "value" as const, side, says });
  return [
    {
      kind: kindOf(gained.length > 0, lost.length > 0),
      about: ABOUT,
      what: `The cuffs fit limbs of ${recent ? told(recent) : "any size"} now; before, ${old ? told(old) : "any size"}.`,
      ...bothSides(old, recent, told),
      evidence: [
        ...gained.map((range) =>
          value("looser", `A limb of ${rangeText(range, "cm")} is taken to fit now and was not before.`),
        ),
        ...lost.map((range) =>
          value("tighter", `A limb of ${rangeText(range, "cm")} was taken to fit before and is not now.`),
        ),
      ],
    },
  ];
}
