export { type Content, element, type Markup, markupText } from "./markup.ts";
export { plainCharacters } from "./plain-characters.ts";
