import type { LinePlace } from "../finding/index.ts";
import { type Content, element, type Markup } from "../text/index.ts";

/** What every picture says of itself to those who cannot see it. */
export interface Described {
  /** Tells pictures of one page apart; letters, digits and hyphens. */
  readonly id: string;
  readonly title: string;
  readonly description: string;
}

/**
 * The frame of a picture. All looks are attributes, so that it needs no style sheet and a strict content security policy lets
 * it through; a page may restyle its classes.
 */
export function drawing(
  { id, title, description }: Described,
  { name, width, height }: { readonly name: string; readonly width: number; readonly height: number },
  ...content: readonly Content[]
): Markup {
  return element(
    "svg",
    {
      xmlns: "http://www.w3.org/2000/svg",
      class: `picture ${name}`,
      viewBox: `0 0 ${width} ${height}`,
      role: "img",
      "aria-labelledby": `${id}-title ${id}-description`,
      "font-family": "Helvetica, Arial, Liberation Sans, DejaVu Sans, sans-serif",
      "font-size": FONT,
      fill: "currentColor",
      stroke: "none",
    },
    element("title", { id: `${id}-title` }, title),
    element("desc", { id: `${id}-description` }, description),
    ...content,
  );
}

/** The height of letters, in units of a picture. */
export const FONT = 11;

/** The attributes by which a mark leads to its line. */
export function leadingTo(place: LinePlace | undefined) {
  return place ? { "data-file": place.file, "data-line": place.line } : {};
}

/** What a mark says when it is pointed at. */
export function says(text: string): Markup {
  return element("title", {}, text);
}

/** A coordinate as it is written: two decimals are finer than any screen or printer. */
export function at(value: number): number {
  return Math.round(value * 100) / 100;
}

export function label(
  text: string,
  x: number,
  y: number,
  anchor: "start" | "middle" | "end" = "start",
  name = "label",
): Markup {
  return element("text", { class: name, x: at(x), y: at(y), "text-anchor": anchor }, text);
}

export function stroke(
  from: readonly [number, number],
  to: readonly [number, number],
  { name, width = 0.8, dashes }: { readonly name: string; readonly width?: number; readonly dashes?: string },
): Markup {
  return element("line", {
    class: name,
    x1: at(from[0]),
    y1: at(from[1]),
    x2: at(to[0]),
    y2: at(to[1]),
    stroke: "currentColor",
    "stroke-width": width,
    "stroke-dasharray": dashes,
  });
}

/** The ways in which an area is filled. Each is told from the others in black and white. */
export type Filling = "solid" | "slanted" | "crossed" | "dotted" | "upright" | "empty";

/** The value of `fill` for an area; `id` is that of the picture, which has to hold `patterns(id)`. */
export function filling(look: Filling, id: string): string {
  if (look === "solid") return "currentColor";
  return look === "empty" ? "none" : `url(#${id}-${look})`;
}

/** The patterns of a picture. */
export function patterns(id: string): Markup {
  return element(
    "defs",
    {},
    pattern(id, "slanted", 4, line("M0 4L4 0M-1 1L1 -1M3 5L5 3")),
    pattern(id, "crossed", 4, line("M0 4L4 0M0 0L4 4")),
    pattern(id, "upright", 4, line("M2 0V4")),
    pattern(id, "dotted", 5, [dot(1.25, 1.25), dot(3.75, 3.75)]),
  );
}

function pattern(id: string, look: Filling, size: number, content: Content): Markup {
  return element(
    "pattern",
    { id: `${id}-${look}`, width: size, height: size, patternUnits: "userSpaceOnUse" },
    content,
  );
}

function line(path: string): Markup {
  return element("path", { d: path, stroke: "currentColor", "stroke-width": 0.7, fill: "none" });
}

function dot(x: number, y: number): Markup {
  return element("circle", { cx: x, cy: y, r: 0.75, fill: "currentColor" });
}
