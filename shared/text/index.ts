export { CAUTION } from "./caution.ts";
export { listText } from "./list-text.ts";
export { type Content, element, type Markup, markupText } from "./markup.ts";
export { plainCharacters } from "./plain-characters.ts";
export { plainMarkdown } from "./plain-markdown.ts";
export { findReplacedStretch } from "./replaced-stretch.ts";
