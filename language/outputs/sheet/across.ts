import { type Content, element } from "@limbwright/shared/text";

/** How often it is written down a side: three times on each of ten pages. What hangs over the end of the side is not shown. */
const TIMES = 30;

/**
 * What is printed across every page, in outline, so that what is under it can still be read. It runs down the side of the
 * sheet, for browsers print what is fixed to a page, or hangs from a repeated head, on the first page alone. A last page with
 * only a few lines has no room for it; the head says the same on every page.
 */
export function writeAcross(marks: readonly string[]): Content {
  if (marks.length === 0) return [];
  const text = marks.join(" · ");
  const drawn = element(
    "svg",
    { viewBox: "0 0 190 80", focusable: "false" },
    element(
      "text",
      {
        x: 95,
        y: 47,
        transform: "rotate(-20 95 40)",
        "text-anchor": "middle",
        "font-family": "Helvetica, Arial, Liberation Sans, DejaVu Sans, sans-serif",
        "font-weight": "bold",
        "font-size": Math.min(34, Math.round(230 / text.length)),
        fill: "none",
        stroke: "#8a8a8a",
        "stroke-width": 0.3,
      },
      text,
    ),
  );
  return element(
    "div",
    { class: "across", "aria-hidden": "true" },
    Array.from({ length: TIMES }, () => drawn),
  );
}
