export { type Content, element, type Markup, markupText } from "./markup.ts";
export * from "./text.ts";
