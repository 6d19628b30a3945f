import { area, line } from "d3-shape";
import { type Content, element, type Markup } from "../text/index.ts";
import { type CurvePoint, type CurveStretch, doseAxes, doseFrame } from "./dose-curve.ts";
import {
  at,
  type Described,
  drawing,
  FONT,
  label,
  leadingTo,
  type PicturePlace,
  says,
  stroke,
} from "./drawing.ts";
import { filling, patterns } from "./patterns.ts";

/** A dose over weight in two versions, as plain data: straight between the points, which are where they bend. */
export interface DoseComparison extends Described {
  /** "mg" or "mL". */
  readonly unit: string;
  /** The weights that either version covers, kg. */
  readonly from: number;
  readonly to: number;
  readonly before: readonly CurveStretch[];
  readonly now: readonly CurveStretch[];
  /** Where the two are apart, from the lightest patient on. */
  readonly apart: readonly DosesApart[];
  readonly beforePlace?: PicturePlace;
  readonly nowPlace?: PicturePlace;
}

/** Weights at which one version gives more than the other, in pieces over which both are straight. */
export interface DosesApart {
  /** More is given now, or less. */
  readonly is: "looser" | "tighter";
  readonly pieces: readonly (readonly DosePair[])[];
  /** "looser: more for 45 kg to 130 kg". */
  readonly says: string;
}

export interface DosePair {
  readonly weight: number;
  readonly before: number;
  readonly now: number;
}

const LEGEND = 34;

/**
 * Both versions of a dose over each other: the earlier one dashed, the new one drawn through, and what is between them filled,
 * crossed where it is looser and dotted where it is tighter, with the words beside the fillings.
 */
export function doseComparison(picture: DoseComparison): Markup {
  const { id, unit, from, to, before, now, apart } = picture;
  const amounts = [...before, ...now].flat().map(({ amount }) => amount);
  const { x, y, width, height, ground } = doseFrame({ from, to }, Math.max(1, ...amounts));
  return drawing(
    picture,
    { name: "dose-comparison", width, height: height + LEGEND },
    patterns(id),
    doseAxes(x, y, unit),
    apart.map((one) => apartOf(one, x, y, ground, id)),
    curveOf(picture, "before", x, y),
    curveOf(picture, "now", x, y),
    legend(apart, height, id),
  );
}

type Scale = (value: number) => number;

const LOOKS = { looser: "crossed", tighter: "dotted" } as const;

/** The area between the two, and under it, on the axis, the weights it is about. */
function apartOf(
  { is, pieces, says: text }: DosesApart,
  x: Scale,
  y: Scale,
  ground: number,
  id: string,
): Markup {
  const shape = area<DosePair>()
    .x(({ weight }) => x(weight))
    .y0(({ before }) => y(before))
    .y1(({ now }) => y(now))
    .digits(2);
  const weights = pieces.flat().map(({ weight }) => x(weight));
  const [left, right] = [Math.min(...weights), Math.max(...weights)];
  return element(
    "g",
    { class: `apart ${is}` },
    says(text),
    pieces.map((piece) =>
      element("path", {
        class: "area",
        d: shape(piece) ?? "",
        fill: filling(LOOKS[is], id),
        stroke: "currentColor",
        "stroke-width": 0.5,
      }),
    ),
    stroke([left, ground - 3], [Math.max(right, left + 1), ground - 3], {
      name: "weights",
      width: 4,
      ...(is === "tighter" && { dashes: "2 2" }),
    }),
  );
}

const CURVES = {
  before: { width: 1.4, dashes: "6 3" },
  now: { width: 2.4 },
} as const;

function curveOf(picture: DoseComparison, version: "before" | "now", x: Scale, y: Scale): Markup {
  const path = line<CurvePoint>(
    ({ weight }) => x(weight),
    ({ amount }) => y(amount),
  ).digits(2);
  const look: { readonly width: number; readonly dashes?: string } = CURVES[version];
  return element(
    "g",
    leadingTo(version === "before" ? picture.beforePlace : picture.nowPlace),
    says(version),
    picture[version].map((stretch) =>
      element("path", {
        class: `dose ${version}`,
        d: path(stretch) ?? "",
        fill: "none",
        stroke: "currentColor",
        "stroke-width": look.width,
        "stroke-dasharray": look.dashes,
      }),
    ),
  );
}

/** What the lines are, and the words for each filling. */
function legend(apart: readonly DosesApart[], top: number, id: string): Content {
  const lines = (["before", "now"] as const).map((version, place) => {
    const left = 44 + place * 84;
    const look: { readonly width: number; readonly dashes?: string } = CURVES[version];
    return [
      stroke([left, top + 6], [left + 24, top + 6], { name: `dose ${version}`, ...look }),
      label(version, left + 29, top + 6 + FONT / 3, "start", "legend"),
    ];
  });
  const kinds = (["looser", "tighter"] as const).filter((is) => apart.some((one) => one.is === is));
  const fillings = kinds.map((is, place) => {
    const left = 44 + place * 170;
    return [
      element("rect", {
        class: `area ${is}`,
        x: at(left),
        y: top + 16,
        width: 24,
        height: 11,
        fill: filling(LOOKS[is], id),
        stroke: "currentColor",
        "stroke-width": 0.5,
      }),
      label(
        `${is}: ${is === "looser" ? "more" : "less"} than before`,
        left + 29,
        top + 16 + FONT - 2,
        "start",
        "legend",
      ),
    ];
  });
  return element("g", { class: "legend" }, lines, fillings);
}
