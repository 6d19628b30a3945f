import { scaleLinear } from "d3-scale";
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

/** One run over time, as plain data. All times are seconds from its beginning. */
export interface RunPicture extends Described {
  /** Where the time axis ends. */
  readonly until: number;
  /** Cuffs from the proximal one on, the bandage, the drug: one below the other. */
  readonly strips: readonly RunStrip[];
  readonly clocks: readonly RunClock[];
  /** The moment the picture is about: the release, or where a rule is broken. */
  readonly moment?: { readonly at: number; readonly says: string; readonly place?: LinePlace };
}

export interface RunStrip {
  readonly name: string;
  readonly spans: readonly RunSpan[];
}

export interface RunSpan {
  readonly from: number;
  readonly to: number;
  /** A cuff that is up, and one that is confirmed; the bandage on; the drug in the limb, and let go. */
  readonly is: "up" | "confirmed" | "bandage-on" | "in-limb" | "released";
  /** "proximal confirmed, 2:15 to 33:50". */
  readonly says: string;
  readonly place?: LinePlace;
}

/** A clock that counts from a moment, with the least and the most that is asked of it. */
export interface RunClock {
  readonly name: string;
  readonly from: number;
  readonly to: number;
  readonly least?: ClockMark;
  readonly most?: ClockMark;
  readonly place?: LinePlace;
}

export interface ClockMark {
  readonly at: number;
  /** "30 min". */
  readonly says: string;
}

const WIDTH = 420;
/** Room for the names at the left, and for the last number of the axis at the right. */
const LEFT = 104;
/** Longer names are cut; what is pointed at says them in full. */
const LONGEST_NAME = 16;
const RIGHT = 14;
const TOP = 18;
const STRIP = 15;
const CLOCK = 22;
const AXIS = 18;
const LEGEND = 16;

/** A run as SVG: a strip for each cuff, the bandage and the drug, a rule for each clock, and the time in minutes. */
export function runPicture(picture: RunPicture): Markup {
  const { id, strips, clocks, until, moment } = picture;
  const time = scaleLinear([0, Math.max(until, 1)], [LEFT, WIDTH - RIGHT]);
  const clocksTop = TOP + strips.length * STRIP + 4;
  const bottom = clocksTop + clocks.length * CLOCK;
  return drawing(
    picture,
    { name: "run", width: WIDTH, height: bottom + AXIS + LEGEND },
    patterns(id),
    axis(time, until, bottom),
    legend(strips, bottom + AXIS, id),
    strips.map((strip, row) => stripOf(strip, TOP + row * STRIP, time, id)),
    clocks.map((clock, row) => clockOf(clock, clocksTop + row * CLOCK, time, id)),
    moment ? momentOf(moment, time, bottom) : [],
  );
}

type Scale = (seconds: number) => number;

/** How each is filled, and what the legend calls it. */
const LOOKS: Readonly<Record<RunSpan["is"], { readonly look: Filling; readonly word: string }>> = {
  up: { look: "slanted", word: "up" },
  confirmed: { look: "solid", word: "confirmed" },
  "bandage-on": { look: "crossed", word: "on" },
  "in-limb": { look: "dotted", word: "in the limb" },
  released: { look: "empty", word: "let go" },
};

function stripOf({ name, spans }: RunStrip, top: number, time: Scale, id: string): Markup {
  return element(
    "g",
    { class: "strip" },
    nameOf(name, top + FONT - 1),
    stroke([LEFT, top + STRIP - 3], [WIDTH - RIGHT, top + STRIP - 3], { name: "ground", width: 0.4 }),
    spans.map((span) =>
      element(
        "rect",
        {
          class: `span ${span.is}`,
          x: at(time(span.from)),
          y: top + 2,
          width: at(Math.max(time(span.to) - time(span.from), 0.8)),
          height: STRIP - 5,
          ...lookOf(span.is, id),
          ...leadingTo(span.place),
        },
        says(span.says),
      ),
    ),
  );
}

function nameOf(name: string, y: number): Markup {
  const shown = name.length > LONGEST_NAME ? `${name.slice(0, LONGEST_NAME - 1)}…` : name;
  return element("g", {}, says(name), label(shown, LEFT - 6, y, "end", "name"));
}

/** What the fillings mean, each that the picture has. */
function legend(strips: readonly RunStrip[], top: number, id: string): Markup {
  const found = new Set(strips.flatMap(({ spans }) => spans.map(({ is }) => is)));
  const looks = (Object.keys(LOOKS) as RunSpan["is"][]).filter((is) => found.has(is));
  let x = LEFT;
  const entries = looks.map((is) => {
    const left = x;
    const { word } = LOOKS[is];
    x += 22 + word.length * 6.2;
    return [
      element("rect", { x: at(left), y: top + 3, width: 10, height: 8, ...lookOf(is, id) }),
      label(word, left + 14, top + FONT, "start", "legend"),
    ];
  });
  return element("g", { class: "legend", "font-size": FONT - 1.5 }, entries);
}

function lookOf(is: RunSpan["is"], id: string) {
  return {
    fill: filling(LOOKS[is].look, id),
    stroke: "currentColor",
    "stroke-width": 0.6,
    "stroke-dasharray": is === "released" ? "2 2" : undefined,
  };
}

/** A clock is a thin rule from when it starts; between its least and its most it is a window, filled with upright lines. */
function clockOf(
  { name, from, to, least, most, place }: RunClock,
  top: number,
  time: Scale,
  id: string,
): Markup {
  const middle = top + CLOCK - 7;
  const window = least && most && most.at > least.at ? [least.at, most.at] : undefined;
  return element(
    "g",
    { class: "clock", ...leadingTo(place) },
    says(
      [name, least && `at least ${least.says}`, most && `at most ${most.says}`].filter(Boolean).join(", "),
    ),
    nameOf(name, middle + 4),
    window
      ? element("rect", {
          class: "window",
          x: at(time(window[0] ?? 0)),
          y: middle - 4,
          width: at(time(window[1] ?? 0) - time(window[0] ?? 0)),
          height: 8,
          fill: filling("upright", id),
        })
      : [],
    stroke([time(from), middle - 3], [time(from), middle + 3], { name: "begin", width: 1 }),
    stroke([time(from), middle], [time(to), middle], { name: "counts", width: 1.6 }),
    least ? markOf(least, middle, time, "least", window ? "end" : "middle") : [],
    most ? markOf(most, middle, time, "most", window ? "start" : "middle") : [],
  );
}

/** The least is a gate that opens, [ ; the most is one that closes, ]. */
function markOf(
  { at: seconds, says: text }: ClockMark,
  middle: number,
  time: Scale,
  kind: "least" | "most",
  anchor: "start" | "middle" | "end",
): Content {
  const x = time(seconds);
  const side = kind === "least" ? 3 : -3;
  const path = `M${at(x + side)} ${middle - 5}H${at(x)}V${middle + 5}H${at(x + side)}`;
  const shift = { start: -3, middle: 0, end: 3 }[anchor];
  return [
    element("path", { class: kind, d: path, fill: "none", stroke: "currentColor", "stroke-width": 1.2 }),
    label(text, x + shift, middle - 7, fitting(x, anchor), "limit"),
  ];
}

/** A text near the right edge is written to the left. */
function fitting(x: number, anchor: "start" | "middle" | "end") {
  return x > WIDTH - RIGHT - 30 && anchor !== "end" ? "end" : anchor;
}

function momentOf(
  { at: seconds, says: text, place }: NonNullable<RunPicture["moment"]>,
  time: Scale,
  bottom: number,
): Markup {
  const x = time(seconds);
  const anchor = x > WIDTH / 2 ? "end" : "start";
  return element(
    "g",
    { class: "moment", ...leadingTo(place) },
    stroke([x, TOP - 4], [x, bottom], { name: "now", width: 1, dashes: "4 2" }),
    element("path", { d: `M${at(x - 4)} ${TOP - 10}H${at(x + 4)}L${at(x)} ${TOP - 3}Z` }),
    label(text, x + (anchor === "end" ? -7 : 7), TOP - 5, anchor, "says"),
  );
}

const MINUTE = 60;

function axis(time: Scale, until: number, bottom: number): Markup {
  const ticks = scaleLinear([0, Math.max(until, 1) / MINUTE], [0, 1]).ticks(8);
  return element(
    "g",
    { class: "axis" },
    stroke([LEFT, bottom], [WIDTH - RIGHT, bottom], { name: "line" }),
    ticks.map((minutes) => {
      const x = time(minutes * MINUTE);
      return [
        stroke([x, bottom], [x, bottom + 4], { name: "tick" }),
        label(String(minutes), x, bottom + 4 + FONT, "middle", "number"),
      ];
    }),
    label("minutes", LEFT - 6, bottom + 4 + FONT, "end", "unit"),
  );
}
