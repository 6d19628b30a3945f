import { type Content, element, type Markup } from "../text/index.ts";

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
