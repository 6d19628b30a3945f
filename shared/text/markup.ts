import { plainCharacters } from "./text.ts";

/** A finished piece of HTML or SVG. Only `element` makes one, so a text can never pass for one. */
export interface Markup {
  readonly [WRITTEN]: string;
}

const WRITTEN: unique symbol = Symbol("markup");

/** What can stand in an element: texts, which are written as they read, and other elements. */
export type Content = Markup | string | readonly Content[];

/** An attribute without a value is left out. */
type Attributes = Readonly<Record<string, string | number | undefined>>;

/**
 * An element with its attributes and what is in it. Every text is escaped, so it is read as text, whatever stands in
 * it. Names of elements and attributes are the caller's own, never those of a protocol.
 */
export function element(name: string, attributes: Attributes, ...content: readonly Content[]): Markup {
  const written = Object.entries(attributes).flatMap(([attribute, value]) =>
    value === undefined ? [] : [` ${attribute}="${escapeMarkup(String(value))}"`],
  );
  const start = `<${name}${written.join("")}>`;
  if (WITHOUT_END.has(name)) return { [WRITTEN]: start };
  return { [WRITTEN]: `${start}${contentText(content)}</${name}>` };
}

/** The text of a piece, to be written to a file. */
export function markupText(markup: Markup): string {
  return markup[WRITTEN];
}

/** Elements of HTML that hold nothing and have no end. */
const WITHOUT_END: ReadonlySet<string> = new Set(["meta", "br"]);

function contentText(content: Content): string {
  if (typeof content === "string") return escapeMarkup(content);
  return WRITTEN in content ? content[WRITTEN] : content.map(contentText).join("");
}

function escapeMarkup(text: string): string {
  return plainCharacters(text).replace(/[&<>"']/g, (character) => ENTITIES[character] ?? character);
}

const ENTITIES: Readonly<Record<string, string>> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&#39;",
};
