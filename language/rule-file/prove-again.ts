import { isAtLeast } from "@limbwright/shared/finding";
import type { Finding as FileFinding, Proof, Protocol, RuleFile, Runs } from "@limbwright/shared/rule-file";
import { catalogue } from "../rules/catalogue.ts";
import { judgeProtocol } from "../rules/engine/judge.ts";
import { findingParts } from "./findings.ts";
import { Marks } from "./marks.ts";
import { isAccepted, proofPart, rulesOfFile } from "./proof.ts";
import { protocolPart, restoreProtocol } from "./protocol.ts";

import { runsPart } from "./runs.ts";
import { inFixedOrder } from "./values.ts";

/** What a file should say by its own formulas and parameters. */
export interface ProvenAgain {
  readonly protocol: Protocol;
  readonly proof: Proof;
  readonly runs: Runs;
  readonly findings: readonly FileFinding[] | undefined;
  /** Whether an unsafe finding stands that nobody accepted, in a file that is no draft. */
  readonly isRefused: boolean;
}

/** Whether a rule can be judged from a file alone; the others are about the text. */
export function isJudgedAgain(rule: string): boolean {
  return rulesOfFile.some(({ id, judge, judgeAgent }) => id === rule && (judge ?? judgeAgent) !== undefined);
}

/**
 * Restores the protocol of a file, goes through its runs and judges it again. Verdicts and findings about the
 * text are taken from the file as they are. Gives the reason instead where the protocol makes no sense.
 */
export function proveAgain(file: RuleFile): ProvenAgain | { readonly senseless: string } {
  const protocol = restoreProtocol(file);
  if ("senseless" in protocol) return protocol;
  const judgement = judgeProtocol(protocol, [], rulesOfFile, { on: ANY_DAY });
  const marks = new Marks();
  const proof = proofPart(marks, judgement);
  const found = findingParts(marks, judgement.findings, (one) => isAccepted(judgement, one));
  const ofTheText = (file.findings ?? []).filter(({ rule }) => !isJudgedAgain(rule));
  const isOpen = ({ severity, accepted }: FileFinding) => isAtLeast(severity, "unsafe") && !accepted;
  return {
    protocol: protocolPart(marks, protocol),
    proof: { ...proof, verdicts: proof.verdicts.map((verdict) => aboutText(verdict, file)) },
    runs: runsPart(marks, judgement),
    findings: file.use === "draft" ? inFixedOrder([...found, ...ofTheText]) : file.findings,
    isRefused: file.use === "protocol" && found.some(isOpen),
  };
}

/** None of the rules that are judged here looks at the day. */
const ANY_DAY = "0001-01-01";

/** A verdict about the text as the file has it: there is nothing in a file to judge it by. */
function aboutText(verdict: Proof["verdicts"][number], { proof }: RuleFile): Proof["verdicts"][number] {
  const isReading = catalogue.some(({ id }) => id === verdict.rule) && !isJudgedAgain(verdict.rule);
  const recorded = proof.verdicts.find(({ rule }) => rule === verdict.rule);
  return isReading && recorded ? { ...recorded, parameters: verdict.parameters } : verdict;
}
