import { type Content, element, type Markup } from "@limbwright/shared/text";
import type { SheetBlank, SheetItem, SheetPlace } from "./sheet.ts";

/** The attributes by which a mark leads to its line. */
export function placeAttributes({ file, line }: SheetPlace) {
  return { "data-file": file, "data-line": line };
}

/** A section with its heading; nothing where it has nothing to say. */
export function section(title: string, ...content: readonly Content[]): Content {
  return content.flat().length === 0 ? [] : element("section", {}, element("h2", {}, title), ...content);
}

export function plainList(texts: readonly string[]): Content {
  if (texts.length === 0) return [];
  return element(
    "ul",
    { class: "plain" },
    texts.map((text) => element("li", {}, element("span", { class: "dot" }), text)),
  );
}

/** The lines of a checklist, each with a box to tick and its blanks. */
export function checklist(items: readonly SheetItem[]): Content {
  return items.length === 0 ? [] : element("ol", { class: "steps" }, items.map(itemOf));
}

function itemOf(item: SheetItem): Markup {
  const { kind, text, time, notes, blanks, items, place } = item;
  const says = [
    element("span", { class: kind === "do" ? "action" : "title" }, text),
    ...(notes.length === 0 ? [] : [" ", element("span", { class: "note" }, notes.join("; "))]),
    ...blanks.flatMap((blank): Content[] => [" ", blankOf(blank)]),
  ];
  return element(
    "li",
    { class: kind, ...placeAttributes(place) },
    element(
      "div",
      { class: "step" },
      kind === "do" ? element("span", { class: "box" }) : [],
      element("span", { class: "says" }, says),
      time === undefined ? [] : element("span", { class: "time" }, time),
    ),
    checklist(items),
  );
}

/** Room to write a value down, with its unit. */
function blankOf(blank: SheetBlank): Content {
  return blank === "clock" ? clockBlanks() : [element("span", { class: "line" }), ` ${blank}`];
}

/** Room for a time of day. */
export function clockBlanks(): Markup {
  const digits = () => element("span", { class: "digit" });
  return element("span", { class: "clock" }, digits(), ":", digits());
}

/** A label with a line to write on. */
export function fieldLine(label: string, isWhole = false): Markup {
  return element(
    "div",
    { class: isWhole ? "field whole" : "field" },
    element("span", {}, label),
    element("span", { class: "line" }),
  );
}
