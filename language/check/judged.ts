import type { Site } from "../lower/site.ts";
import type { Judged } from "../rule-file/compile.ts";
import type { JudgeOptions } from "../rules/engine/judge.ts";
import { judgementsOf, textFindings } from "./check.ts";

/** Judges every protocol of a file, with what its outputs need of the sources. Undefined: no such file. */
export function judgedIn(site: Site, file: string, options: JudgeOptions): Judged[] | undefined {
  const read = site.file(file);
  if (!read) return undefined;
  const used = read.uses.map((one) => site.file(one)).filter((one) => one !== undefined);
  const inTheText = [read, ...used].flatMap(textFindings);
  return judgementsOf(site, read, options).map((judgement) => ({
    judgement,
    inTheText,
    textOf: (of) => site.textOf(of),
  }));
}
