import { checkFiles, type FileCheck, type FormatResult, formatText, Site } from "@limbwright/language";
import type { Finding } from "@limbwright/shared/finding";
import { again } from "../questions.ts";

const FILE = "hostile.limb";

const texts = new Map<string, string>();
const site = new Site((file) => texts.get(file));

export interface Answer {
  readonly findings: readonly Finding[];
  readonly format: FormatResult;
}

/**
 * What checking and formatting say about a text. Every text is read by the same site, so that what one
 * leaves behind would be seen in the next. Throws what they throw, and where they contradict each other.
 */
export function answerTo(text: string): Answer {
  const checks = checksOf(text);
  const findings = checks.flatMap((check) => check.findings);
  const format = formatText(text);
  if (checks[0]?.file !== FILE) throw new Error("the text was not checked");
  if (format.kind === "refused" && !findings.some(({ severity }) => severity === "error")) {
    throw new Error(`formatting refuses what checking has nothing against: ${format.reason}`);
  }
  if (format.kind === "formatted") expectSettled(format.text);
  return { findings, format };
}

/** The errors of the text itself: a random amount may well be one that nobody can be given. */
export function errorsOfReading({ findings }: Answer): Finding[] {
  return findings.filter(({ severity, rule }) => severity === "error" && rule !== "amount-not-possible");
}

function checksOf(text: string): FileCheck[] {
  texts.set(FILE, text);
  try {
    return [...checkFiles(site, [FILE], { on: "2026-11-25" })];
  } finally {
    site.forget(FILE);
  }
}

function expectSettled(text: string): void {
  const again = formatText(text);
  if (again.kind === "refused") throw new Error(`its own layout is refused: ${again.reason}`);
  if (again.text !== text) throw new Error("its own layout is laid out otherwise");
}

/** Answers each of the texts; a failure names the seed of the text that it is about. */
export function answerEach(seeds: readonly number[], textOf: (seed: number) => string): void {
  for (const seed of seeds) {
    try {
      answerTo(textOf(seed));
    } catch (error) {
      throw new Error(`${again(seed)}: ${error instanceof Error ? error.stack : error}`, { cause: error });
    }
  }
}
