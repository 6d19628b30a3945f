import { readFileSync } from "node:fs";
import { join } from "node:path";
import { randomFrom } from "../solver/random.ts";
import { answerTo, errorsOfReading } from "./answer.ts";
import { type Planted, planted, SLIPS } from "./planted-slips.ts";
import { randomProtocol } from "./random-protocol.ts";

/** How the slips of one kind were reported. */
export interface Share {
  readonly slip: string;
  /** Texts in which every error stands on the slip's line or on the one before or after it. */
  readonly near: number;
  /** Texts with an error somewhere. */
  readonly reported: number;
}

const BASE = join(import.meta.dirname, "../rules/base");

/** The whole example in one file. */
const EXAMPLE = ["formulary.limb", "local-rules.limb", "protocol.limb"]
  .map((file) => readFileSync(join(BASE, file), "utf8").replace(/^use .*\n/gm, ""))
  .join("");

/** Plants each kind of slip once for each seed, in the whole example and in random protocols by turns. */
export function sharesReportedNear(seeds: readonly number[]): Share[] {
  return Object.entries(SLIPS).map(([slip, change]) => {
    let near = 0;
    let reported = 0;
    for (const seed of seeds) {
      const text = seed % 2 === 0 ? EXAMPLE : randomProtocol(seed);
      const changed = planted(text, change, randomFrom(seed * 977 + 5));
      if (!changed) continue;
      const lines = linesWithErrors(changed.text);
      if (lines.length > 0) reported++;
      if (lines.length > 0 && lines.every((line) => isNear(changed, line))) near++;
    }
    return { slip, near, reported };
  });
}

/** All kinds as one. */
export function together(shares: readonly Share[]): Share {
  const sum = (of: (share: Share) => number) => shares.reduce((total, share) => total + of(share), 0);
  return { slip: "together", near: sum(({ near }) => near), reported: sum(({ reported }) => reported) };
}

export function percent({ near, reported }: Share): number {
  return (100 * near) / reported;
}

function linesWithErrors(text: string): number[] {
  return errorsOfReading(answerTo(text)).map(({ origin }) => origin.start.line);
}

/** Blank lines do not count: what follows a block stands below one. */
function isNear({ text, line: slip }: Planted, line: number): boolean {
  const [first, last] = slip < line ? [slip, line] : [line, slip];
  const between = text.split("\n").slice(first, last - 1);
  return first === last || between.every((one) => one.trim() === "");
}
