import { scaleLinear } from "d3-scale";
import { area, line } from "d3-shape";
import type { LinePlace } from "../finding/index.ts";
import { type Content, element, type Markup } from "../text/index.ts";
import {
  at,
  type Described,
  drawing,
  type Filling,
  FONT,
  filling,
  label,
  leadingTo,
  patterns,
  says,
  stroke,
} from "./drawing.ts";

/** A dose over weight, as plain data: straight between the points, which are where it bends. */
export interface DoseCurve extends Described {
  /** "mg" or "mL". */
  readonly unit: string;
  /** The weights covered, kg. */
  readonly from: number;
  readonly to: number;
  readonly dose: readonly CurveStretch[];
  readonly maximum: readonly CurveStretch[];
  /** "4 mg/kg, 300 mg". */
  readonly maximumSays: string;
  /** A cap of the dose, from the weight at which it holds the dose down. */
  readonly caps: readonly { readonly from: CurvePoint; readonly says: string }[];
  /** Where the dose is over the maximum: in pieces over which both are straight, from the lightest patient on. */
  readonly over: readonly {
    readonly pieces: readonly (readonly CurveGap[])[];
    /** "over the maximum: 45 kg to under 50 kg". */
    readonly says: string;
  }[];
  readonly place?: LinePlace;
  readonly maximumPlace?: LinePlace;
}

/** A stretch without a gap. */
export type CurveStretch = readonly CurvePoint[];

export interface CurvePoint {
  readonly weight: number;
  readonly amount: number;
}

/** What is between a dose and its maximum at a weight. */
export interface CurveGap {
  readonly weight: number;
  readonly dose: number;
  readonly maximum: number;
}

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
  readonly beforePlace?: LinePlace;
  readonly nowPlace?: LinePlace;
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

const WIDTH = 420;
const HEIGHT = 164;
const LEFT = 44;
const RIGHT = 12;
const TOP = 20;
const BOTTOM = 20;
const GROUND = HEIGHT - BOTTOM;
const LEGEND = 34;

/** A dose over weight as SVG, with the maximum, the cap, and where the one is over the other. */
export function doseCurve(curve: DoseCurve): Markup {
  const { id, unit, dose, maximum, maximumSays, over, caps, place, maximumPlace } = curve;
  const scales = scalesFor(curve, [...dose, ...maximum]);
  return drawing(
    curve,
    { name: "dose-curve", width: WIDTH, height: HEIGHT },
    patterns(id),
    axes(scales, unit),
    over.map((one) => overOf(one, scales, curve)),
    element(
      "g",
      leadingTo(maximumPlace),
      says(`maximum: ${maximumSays}`),
      pathsOf(maximum, scales, { name: "maximum", width: 1.2, dashes: "6 3" }),
      nameOf(maximum, `maximum ${maximumSays}`, scales),
    ),
    element(
      "g",
      leadingTo(place),
      says(curve.title),
      pathsOf(dose, scales, { name: "dose", width: 2.4 }),
      caps.map((cap) => capOf(cap, scales)),
    ),
  );
}

/**
 * Both versions of a dose over each other: the earlier one dashed, the new one drawn through, and what is between them filled,
 * crossed where it is looser and dotted where it is tighter, with the words beside the fillings.
 */
export function doseComparison(picture: DoseComparison): Markup {
  const { id, unit, before, now, apart, beforePlace, nowPlace } = picture;
  const scales = scalesFor(picture, [...before, ...now]);
  return drawing(
    picture,
    { name: "dose-comparison", width: WIDTH, height: HEIGHT + LEGEND },
    patterns(id),
    axes(scales, unit),
    apart.map(({ is, says: text, pieces }) =>
      element(
        "g",
        { class: `apart ${is}` },
        says(text),
        areasOf(pieces, ["before", "now"], scales, fillOf(is, id)),
        weightsOf(pieces, scales, { width: 4, ...(is === "tighter" && { dashes: "2 2" }) }),
      ),
    ),
    element("g", leadingTo(beforePlace), says("before"), pathsOf(before, scales, CURVES.before)),
    element("g", leadingTo(nowPlace), says("now"), pathsOf(now, scales, CURVES.now)),
    legend(apart, HEIGHT, id),
  );
}

/** How a line looks, and the class by which a page may give it another look. */
interface Look {
  readonly name: string;
  readonly width: number;
  readonly dashes?: string;
}

const CURVES: Readonly<Record<"before" | "now", Look>> = {
  before: { name: "dose before", width: 1.4, dashes: "6 3" },
  now: { name: "dose now", width: 2.4 },
};

function fillOf(is: DosesApart["is"], id: string) {
  const look: Filling = is === "looser" ? "crossed" : "dotted";
  return { fill: filling(look, id), stroke: "currentColor", "stroke-width": 0.5 };
}

interface Scales {
  readonly x: TickedScale;
  readonly y: TickedScale;
}

type TickedScale = ((value: number) => number) & { readonly ticks: (count: number) => number[] };

/** The scales of a picture that is as wide and as high as every other. */
function scalesFor(
  { from, to }: { readonly from: number; readonly to: number },
  stretches: readonly CurveStretch[],
): Scales {
  const most = Math.max(1, ...stretches.flat().map(({ amount }) => amount));
  return {
    x: scaleLinear([from, to], [LEFT, WIDTH - RIGHT]),
    y: scaleLinear([0, most], [GROUND, TOP]).nice(5),
  };
}

function pathsOf(
  stretches: readonly CurveStretch[],
  { x, y }: Scales,
  { name, width, dashes }: Look,
): Content {
  const path = line<CurvePoint>(
    ({ weight }) => x(weight),
    ({ amount }) => y(amount),
  ).digits(2);
  return stretches.map((stretch) =>
    element("path", {
      class: name,
      d: path(stretch) ?? "",
      fill: "none",
      stroke: "currentColor",
      "stroke-width": width,
      "stroke-dasharray": dashes,
    }),
  );
}

type Pieces<Name extends string> = readonly (readonly Readonly<Record<Name | "weight", number>>[])[];

/** What lies between two amounts, from the one to the other. */
function areasOf<Name extends string>(
  pieces: Pieces<Name>,
  [one, other]: readonly [Name, Name],
  { x, y }: Scales,
  look: Parameters<typeof element>[1],
): Content {
  const shape = area<Pieces<Name>[number][number]>()
    .x(({ weight }) => x(weight))
    .y0((point) => y(point[one]))
    .y1((point) => y(point[other]))
    .digits(2);
  return pieces.map((piece) => element("path", { class: "area", d: shape([...piece]) ?? "", ...look }));
}

/** On the axis, the weights that an area is about. */
function weightsOf(pieces: Pieces<"weight">, { x }: Scales, look: Omit<Look, "name">): Markup {
  const [left, right] = endsOf(pieces, x);
  return stroke([left, GROUND - 3], [Math.max(right, left + 1), GROUND - 3], { name: "weights", ...look });
}

function endsOf(pieces: Pieces<"weight">, x: Scales["x"]): [number, number] {
  const weights = pieces.flat().map(({ weight }) => x(weight));
  return [Math.min(...weights), Math.max(...weights)];
}

/** The area between the dose and the maximum, with its words at its left. */
function overOf(
  { pieces, says: text }: DoseCurve["over"][number],
  scales: Scales,
  { id, place }: DoseCurve,
): Markup {
  const [from] = endsOf(pieces, scales.x);
  const isAtRight = from > WIDTH / 2;
  const look = { fill: filling("crossed", id), stroke: "currentColor", "stroke-width": 0.8 };
  return element(
    "g",
    { class: "over", ...leadingTo(place) },
    says(text),
    areasOf(pieces, ["maximum", "dose"], scales, look),
    weightsOf(pieces, scales, { width: 6 }),
    label(text, from + (isAtRight ? 0 : 4), GROUND - 10, isAtRight ? "end" : "start", "name"),
  );
}

/** The name of a line stands above its end. */
function nameOf(stretches: readonly CurveStretch[], text: string, { x, y }: Scales): Content {
  const last = stretches.at(-1)?.at(-1);
  return last ? label(text, x(last.weight), Math.max(y(last.amount) - 4, FONT - 1), "end", "name") : [];
}

function capOf({ from, says: text }: DoseCurve["caps"][number], { x, y }: Scales): Content {
  const [left, top] = [x(from.weight), y(from.amount)];
  return [
    stroke([LEFT, top], [left, top], { name: "cap", width: 0.6, dashes: "1.5 2" }),
    element("circle", { class: "cap", cx: at(left), cy: at(top), r: 3 }),
    label(text, left + 2, top + FONT + 4, "start", "name"),
  ];
}

/** What the lines are, and the words for each filling. */
function legend(apart: readonly DosesApart[], top: number, id: string): Content {
  const lines = (["before", "now"] as const).map((version, place) => {
    const left = 44 + place * 84;
    return [
      stroke([left, top + 6], [left + 24, top + 6], CURVES[version]),
      label(version, left + 29, top + 6 + FONT / 3, "start", "legend"),
    ];
  });
  const kinds = (["looser", "tighter"] as const).filter((is) => apart.some((one) => one.is === is));
  const fillings = kinds.map((is, place) => {
    const left = 44 + place * 170;
    const box = { x: at(left), y: top + 16, width: 24, height: 11 };
    const words = `${is}: ${is === "looser" ? "more" : "less"} than before`;
    return [
      element("rect", { class: `area ${is}`, ...box, ...fillOf(is, id) }),
      label(words, left + 29, top + 16 + FONT - 2, "start", "legend"),
    ];
  });
  return element("g", { class: "legend" }, lines, fillings);
}

/** The axes of a dose over weight: its unit upwards, kg to the right. */
function axes({ x, y }: Scales, unit: string): Markup {
  return element(
    "g",
    { class: "axis" },
    y
      .ticks(5)
      .map((amount) => [
        stroke([LEFT, y(amount)], [WIDTH - RIGHT, y(amount)], { name: "grid", width: 0.25 }),
        label(String(amount), LEFT - 5, y(amount) + FONT / 3, "end", "number"),
      ]),
    x
      .ticks(9)
      .map((weight) => [
        stroke([x(weight), GROUND], [x(weight), GROUND + 4], { name: "tick" }),
        label(String(weight), x(weight), GROUND + 4 + FONT, "middle", "number"),
      ]),
    stroke([LEFT, GROUND], [WIDTH - RIGHT, GROUND], { name: "line" }),
    stroke([LEFT, TOP], [LEFT, GROUND], { name: "line" }),
    label(unit, LEFT - 5, TOP - 6, "end", "unit"),
    label("kg", LEFT - 20, GROUND + 4 + FONT, "end", "unit"),
  );
}
