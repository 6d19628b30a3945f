export { CAUTION } from "./caution.ts";
export { type Content, element, type Markup, markupText } from "./markup.ts";
export { plainCharacters } from "./plain-characters.ts";
export { plainMarkdown } from "./plain-markdown.ts";
export { findReplacedStretch } from "./replaced-stretch.ts";
export { capital, listText } from "./words.ts";
