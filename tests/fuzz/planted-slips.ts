import type { Random } from "../solver/random.ts";

/** A text with one slip in one line, which counts from 1. */
export interface Planted {
  readonly text: string;
  readonly line: number;
}

/** What a hand does to one line. Undefined where the line offers no place for it. */
type Slip = (line: string, random: Random) => string | undefined;

/** The usual slips of a hand, by name. */
export const SLIPS: Readonly<Record<string, Slip>> = {
  "a word misspelt": (line, random) =>
    changedToken(line, random, /^[a-z-]{4,}$/, (word) => {
      const at = 1 + random.below(word.length - 2);
      return word.slice(0, at) + word.slice(at + 1, at + 2) + word.slice(at, at + 1) + word.slice(at + 2);
    }),
  "a word left out": (line, random) => changedToken(line, random, /^[a-z-]+$/, () => ""),
  "a word written twice": (line, random) =>
    changedToken(line, random, /^[a-z-]+$/, (word) => `${word} ${word}`),
  "a unit left out": (line) =>
    /\d (?:mg|mL|min|kg|mmHg|s)\b/.test(line) ? line.replace(/(\d) [a-zA-Z/]+/, "$1") : undefined,
  "a quote left out": (line) => (line.includes('"') ? line.replace(/"(?=[^"]*$)/, "") : undefined),
  "a stray character": (line, random) =>
    changedToken(line, random, /./, (token) => `${token} ${random.pick(["?", ";", ":", "%", "="])}`),
  "an opening brace left out": (line) => (line.endsWith(" {") ? line.slice(0, -2) : undefined),
  "a closing brace left out": (line) => (line.trim() === "}" ? "" : undefined),
  "a closing brace too many": (line) => (line.trim() === "}" ? `${line} }` : undefined),
  "an opening brace too many": (line) => (line.endsWith(" {") ? `${line} {` : undefined),
};

/** The text with the slip in one of the lines that offer a place for it; undefined where none does. */
export function planted(text: string, slip: Slip, random: Random): Planted | undefined {
  const lines = text.split("\n");
  for (let tries = 0; tries < 40; tries++) {
    const at = random.below(lines.length);
    const line = lines[at] ?? "";
    const changed = line.trim() === "" ? undefined : slip(line, random);
    if (changed === undefined || changed === line) continue;
    return { text: lines.with(at, changed).join("\n"), line: at + 1 };
  }
  return undefined;
}

/** Changes one of the tokens outside quotes and comments that look as asked. */
function changedToken(
  line: string,
  random: Random,
  looks: RegExp,
  change: (token: string) => string,
): string | undefined {
  const parts = line.split(/("(?:\\.|[^"\\])*"|\/\/.*$|\s+)/);
  const places = [...parts.keys()].filter((index) => index % 2 === 0 && looks.test(parts[index] ?? ""));
  if (places.length === 0) return undefined;
  const at = random.pick(places);
  return parts.with(at, change(parts[at] ?? "")).join("");
}
