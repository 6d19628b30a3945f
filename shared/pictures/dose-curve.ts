import { scaleLinear } from "d3-scale";
import { area, line } from "d3-shape";
import { type Content, element, type Markup } from "../text/index.ts";
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
  readonly place?: PicturePlace;
  readonly maximumPlace?: PicturePlace;
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

const WIDTH = 420;
const HEIGHT = 164;
const LEFT = 44;
const RIGHT = 12;
const TOP = 20;
const BOTTOM = 20;

/** A dose over weight as SVG, with the maximum, the cap, and where the one is over the other. */
export function doseCurve(curve: DoseCurve): Markup {
  const { id, unit, dose, maximum, maximumSays, over, caps, place, maximumPlace } = curve;
  const amounts = [...dose, ...maximum].flat().map(({ amount }) => amount);
  const { x, y } = doseFrame(curve, Math.max(1, ...amounts));
  const path = line<CurvePoint>(
    ({ weight }) => x(weight),
    ({ amount }) => y(amount),
  ).digits(2);
  const curveOf = (stretches: readonly CurveStretch[], name: string, width: number, dashes?: string) =>
    stretches.map((stretch) =>
      element("path", {
        class: name,
        d: path(stretch) ?? "",
        fill: "none",
        stroke: "currentColor",
        "stroke-width": width,
        "stroke-dasharray": dashes,
      }),
    );
  return drawing(
    curve,
    { name: "dose-curve", width: WIDTH, height: HEIGHT },
    patterns(id),
    doseAxes(x, y, unit),
    over.map((one) => overOf(one, x, y, curve)),
    element(
      "g",
      leadingTo(maximumPlace),
      says(`maximum: ${maximumSays}`),
      curveOf(maximum, "maximum", 1.2, "6 3"),
      nameOf(maximum, `maximum ${maximumSays}`, x, y),
    ),
    element(
      "g",
      leadingTo(place),
      says(curve.title),
      curveOf(dose, "dose", 2.4),
      caps.map((cap) => capOf(cap, x, y)),
    ),
  );
}

type Scale = (value: number) => number;

/** The area between the dose and the maximum, and under it, on the axis, the weights it is about. */
function overOf(
  { pieces, says: text }: DoseCurve["over"][number],
  x: Scale,
  y: Scale,
  { id, place }: DoseCurve,
): Markup {
  const shape = area<CurveGap>()
    .x(({ weight }) => x(weight))
    .y0(({ maximum }) => y(maximum))
    .y1(({ dose }) => y(dose))
    .digits(2);
  const weights = pieces.flat().map(({ weight }) => x(weight));
  const [from, to] = [Math.min(...weights), Math.max(...weights)];
  const ground = HEIGHT - BOTTOM;
  return element(
    "g",
    { class: "over", ...leadingTo(place) },
    says(text),
    pieces.map((piece) =>
      element("path", {
        class: "area",
        d: shape(piece) ?? "",
        fill: filling("crossed", id),
        stroke: "currentColor",
        "stroke-width": 0.8,
      }),
    ),
    stroke([from, ground - 3], [Math.max(to, from + 1), ground - 3], { name: "weights", width: 6 }),
    label(text, from + (from > WIDTH / 2 ? 0 : 4), ground - 10, from > WIDTH / 2 ? "end" : "start", "name"),
  );
}

/** The name of a line stands above its end. */
function nameOf(stretches: readonly CurveStretch[], text: string, x: Scale, y: Scale): Content {
  const last = stretches.at(-1)?.at(-1);
  return last ? label(text, x(last.weight), Math.max(y(last.amount) - 4, FONT - 1), "end", "name") : [];
}

function capOf({ from, says: text }: DoseCurve["caps"][number], x: Scale, y: Scale): Content {
  const [left, top] = [x(from.weight), y(from.amount)];
  return [
    stroke([LEFT, top], [left, top], { name: "cap", width: 0.6, dashes: "1.5 2" }),
    element("circle", { class: "cap", cx: at(left), cy: at(top), r: 3 }),
    label(text, left + 2, top + FONT + 4, "start", "name"),
  ];
}

/** The frame of a dose over weight, as wide and as high as every other, with its scales. */
export function doseFrame({ from, to }: { readonly from: number; readonly to: number }, most: number) {
  return {
    x: scaleLinear([from, to], [LEFT, WIDTH - RIGHT]),
    y: scaleLinear([0, most], [HEIGHT - BOTTOM, TOP]).nice(5),
    width: WIDTH,
    height: HEIGHT,
    ground: HEIGHT - BOTTOM,
  };
}

type TickedScale = Scale & { readonly ticks: (count: number) => number[] };

/** The axes of a dose over weight: its unit upwards, kg to the right. */
export function doseAxes(x: TickedScale, y: TickedScale, unit: string): Markup {
  const ground = HEIGHT - BOTTOM;
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
        stroke([x(weight), ground], [x(weight), ground + 4], { name: "tick" }),
        label(String(weight), x(weight), ground + 4 + FONT, "middle", "number"),
      ]),
    stroke([LEFT, ground], [WIDTH - RIGHT, ground], { name: "line" }),
    stroke([LEFT, TOP], [LEFT, ground], { name: "line" }),
    label(unit, LEFT - 5, TOP - 6, "end", "unit"),
    label("kg", LEFT - 20, ground + 4 + FONT, "end", "unit"),
  );
}
