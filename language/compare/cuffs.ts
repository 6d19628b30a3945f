import { amountWords, type Cuff, type CuffSet } from "../model/index.ts";
import { subtractRange } from "../population/bands.ts";
import { rangeText } from "../population/index.ts";
import {
  amountChange,
  amountDifference,
  type Field,
  fieldChanges,
  NOT_STATED,
  valueEvidence,
} from "./fields.ts";
import { meansTheSame } from "./same.ts";
import { bothSides, type FoundChange, kindOf, type Sides } from "./side.ts";

const ABOUT = "cuffs";

/** The cuffs: how many, where, what is written on them, and the pressure they are inflated to. */
export function cuffChanges(sides: Sides): FoundChange[] {
  const [before, now] = [sides.before.cuffs, sides.now.cuffs];
  if (!before || !now) {
    if (before === now) return [];
    const what = now ? "The cuffs are stated now." : "The cuffs are no longer stated.";
    return [{ code: "cuffs-stated", about: ABOUT, what, ...bothSides(before, now, () => ABOUT) }];
  }
  return [
    ...fieldChanges(FIELDS, ABOUT, before, now),
    ...now.cuffs.flatMap((cuff, at) => {
      const old = before.cuffs[at];
      return old ? fieldChanges(FIELDS_OF_EACH, `cuff \`${cuff.name}\``, old, cuff) : [];
    }),
    ...pressureChange(before, now, sides),
    ...fitChange(before, now),
  ];
}

const FIELDS: readonly Field<CuffSet>[] = [
  {
    code: "cuff-count",
    name: () => "There are other cuffs now",
    value: ({ cuffs, origin }) => ({ value: cuffs.map(({ name }) => name).join(", "), origin }),
    key: ({ cuffs }) => `${cuffs.length}`,
    what: (name, now, before) => `${name}: ${now}; before, ${before}.`,
  },
  {
    code: "cuff-place",
    name: () => "The cuffs",
    value: ({ place }) => place,
    what: (name, now, before) => `${name} sit on the ${limb(now)} now; before, on the ${limb(before)}.`,
  },
  { code: "cuff-ceiling", name: () => "The ceiling of the cuff pressure", limit: ({ ceiling }) => ceiling },
];

function limb(place: string): string {
  return place === NOT_STATED ? "limb" : place;
}

/** Somebody reads a label at the bedside: only a person can say whether it still tells the cuffs apart. */
const FIELDS_OF_EACH: readonly Field<Cuff>[] = [
  {
    code: "cuff-label",
    name: ({ name }) => `The cuff \`${name}\``,
    value: ({ label, origin }) => ({ value: label === undefined ? "no label" : `“${label}”`, origin }),
    what: (name, now, before) => `${name} carries ${now} now; before, ${before}.`,
  },
];

/** Too low a pressure lets the drug past the cuff, too high a one harms the nerve: neither is looser. */
function pressureChange(before: CuffSet, now: CuffSet, { covered }: Sides): FoundChange[] {
  const [old, recent] = [before.pressure, now.pressure];
  if (meansTheSame(old, recent)) return [];
  const told = (one: typeof old) => (one ? amountWords(one.node) : NOT_STATED);
  return amountChange(
    {
      code: "cuff-pressure",
      about: "cuff pressure",
      what: `The cuffs are inflated to ${told(recent)} now; before, ${told(old)}.`,
      ...bothSides(old, recent, told),
    },
    old && recent
      ? amountDifference(old.expression, recent.expression, covered, {
          unit: "mmHg",
          more: "higher",
          less: "lower",
          moreIs: "different",
          lessIs: "different",
        })
      : { limit: "only one version states a pressure" },
  );
}

function fitChange(before: CuffSet, now: CuffSet): FoundChange[] {
  const [old, recent] = [before.fits, now.fits];
  if (meansTheSame(old?.interval, recent?.interval)) return [];
  const gained = subtractRange(recent?.interval ?? {}, old?.interval ?? {});
  const lost = subtractRange(old?.interval ?? {}, recent?.interval ?? {});
  const told = ({ interval }: NonNullable<typeof old>) => rangeText(interval, "cm");
  return [
    {
      code: "cuff-fit",
      kind: kindOf(gained.length > 0, lost.length > 0),
      about: ABOUT,
      what: `The cuffs fit limbs of ${recent ? told(recent) : "any size"} now; before, ${old ? told(old) : "any size"}.`,
      ...bothSides(old, recent, told),
      evidence: [
        ...gained.map((range) =>
          valueEvidence(true, `A limb of ${rangeText(range, "cm")} is taken to fit now and was not before.`),
        ),
        ...lost.map((range) =>
          valueEvidence(false, `A limb of ${rangeText(range, "cm")} was taken to fit before and is not now.`),
        ),
      ],
    },
  ];
}
