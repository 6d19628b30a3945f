import type { Finding } from "@limbwright/shared/finding";
import type { Site } from "../lower/site.ts";
import type { JudgeOptions, ProtocolJudgement } from "../rules/engine/judge.ts";
import { judgementsOf, textFindings } from "./check.ts";

/** A judged protocol with what else its outputs need to know about its sources. */
export interface Judged {
  readonly judgement: ProtocolJudgement;
  /** What was found in the text of the files that the protocol is written in and uses. */
  readonly inTheText: readonly Finding[];
  /** The text of a source file. */
  readonly textOf: (file: string) => string;
}

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
