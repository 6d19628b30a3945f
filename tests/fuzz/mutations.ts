import type { Random } from "../solver/random.ts";

type Change = (text: string, random: Random) => string;

/** The text with one slip somewhere: in a line, a token, a character or a brace. */
export function mutated(text: string, random: Random): string {
  return random.pick(CHANGES)(text, random);
}

const CHANGES: readonly Change[] = [
  amongLines((lines, at) => lines.splice(at, 1)),
  amongLines((lines, at) => lines.splice(at, 0, lines[at] ?? "")),
  amongLines((lines, at) => lines.splice(at, 2, lines[at + 1] ?? "", lines[at] ?? "")),
  amongLines((lines, at, random) => {
    const [moved = ""] = lines.splice(at, 1);
    lines.splice(random.below(lines.length + 1), 0, moved);
  }),
  amongTokens((tokens, at) => tokens.splice(at, 1)),
  amongTokens((tokens, at) => tokens.splice(at, 0, tokens[at] ?? "", " ")),
  amongTokens((tokens, at) =>
    tokens.splice(at, 3, tokens[at + 2] ?? "", tokens[at + 1] ?? "", tokens[at] ?? ""),
  ),
  amongCharacters((before, _character, after) => before + after),
  amongCharacters((before, character, after) => before + character + character + after),
  amongCharacters((before, character, after, random) => before + random.pick(STRANGE) + character + after),
  braces((random) => random.pick(["", "{", "}", "{{", "}}", "\n"])),
];

const STRANGE = [
  "{",
  "}",
  '"',
  "//",
  "\u0000",
  "\ufeff",
  "\u2013",
  "\u00b5",
  "\ud800",
  "(",
  "%",
  "\n",
  "\r",
  "9",
  "\\",
];

function amongLines(change: (lines: string[], at: number, random: Random) => void): Change {
  return (text, random) => {
    const lines = text.split("\n");
    change(lines, random.below(lines.length), random);
    return lines.join("\n");
  };
}

function amongTokens(change: (tokens: string[], at: number) => void): Change {
  return (text, random) => {
    const tokens = text.split(/(\s+)/);
    change(tokens, random.below(tokens.length));
    return tokens.join("");
  };
}

function amongCharacters(
  change: (before: string, character: string, after: string, random: Random) => string,
): Change {
  return (text, random) => {
    const at = random.below(text.length + 1);
    return change(text.slice(0, at), text.slice(at, at + 1), text.slice(at + 1), random);
  };
}

/** Puts something else in the place of one brace. */
function braces(instead: (random: Random) => string): Change {
  return (text, random) => {
    const places = [...text.matchAll(/[{}]/g)].map((match) => match.index);
    if (places.length === 0) return text;
    const at = random.pick(places);
    return text.slice(0, at) + instead(random) + text.slice(at + 1);
  };
}
