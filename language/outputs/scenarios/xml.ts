/** An element of an XML document. Texts stand in it as they are: no character of them is ever markup. */
export interface XmlElement {
  readonly name: string;
  readonly attributes?: Readonly<Record<string, string | number>>;
  readonly children?: readonly (XmlElement | string)[];
}

/** A whole XML 1.0 document, its elements indented. */
export function xmlDocument(root: XmlElement): string {
  return `<?xml version="1.0" encoding="UTF-8"?>\n${elementText(root, "")}`;
}

function elementText({ name, attributes = {}, children = [] }: XmlElement, indent: string): string {
  const start = Object.entries(attributes).map(([key, value]) => ` ${key}="${attributeText(`${value}`)}"`);
  const open = `${indent}<${name}${start.join("")}`;
  if (children.length === 0) return `${open}/>\n`;
  const isText = children.some((child) => typeof child === "string");
  const inside = children.map((child) =>
    typeof child === "string" ? escapeText(child) : elementText(child, isText ? "" : `${indent}  `),
  );
  return isText
    ? `${open}>${inside.join("")}</${name}>\n`
    : `${open}>\n${inside.join("")}${indent}</${name}>\n`;
}

/** A reader of XML makes spaces of line ends and tabs in an attribute, unless they are written as references. */
function attributeText(text: string): string {
  return escapeText(text).replace(/[\t\n]/g, (character) => `&#${character.charCodeAt(0)};`);
}

const REFERENCES: Readonly<Record<string, string>> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&apos;",
  "\r": "&#13;",
};

function escapeText(text: string): string {
  return text
    .replace(NO_CHARACTER, "\ufffd")
    .replace(/[&<>"'\r]/g, (character) => REFERENCES[character] ?? "");
}

/** What is no `Char` of XML 1.0 (W3C Recommendation, fifth edition, section 2.2) cannot be written, not even as a reference. */
const NO_CHARACTER = /(?![\t\n\r\u007f-\u009f])\p{Cc}|[\ufffe\uffff]|\p{Surrogate}/gu;
