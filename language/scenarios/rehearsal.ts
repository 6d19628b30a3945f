import { type RuleFile, readRuleFile } from "@limbwright/shared/rule-file";
import type { Judged } from "../check/judged.ts";
import type { Protocol } from "../model/index.ts";
import { compileProtocol } from "../rule-file/compile.ts";
import { automatonOfFile } from "../rule-file/runs.ts";
import type { TracedAutomaton } from "../runs/index.ts";

/** A protocol made ready for scenarios. */
export interface Rehearsal {
  readonly kind: "ready";
  readonly protocol: Protocol;
  /** What the runtime follows: the same as is written for other programs, marked as a draft. */
  readonly file: RuleFile;
  /** The day on which it is judged. */
  readonly on: string;
  /** The automaton of that file, with the places in the text that its parts come from. */
  readonly traced: TracedAutomaton;
}

/** Why no scenario of a protocol can be followed. */
export interface NoRehearsal {
  readonly kind: "not-ready";
  readonly limit: string;
}

/**
 * Compiles a judged protocol in memory. Findings do not stand in the way, for a scenario may show them; errors do, and
 * so do runs that could not be gone through.
 */
export function rehearsalOf(judged: Judged, on: string): Rehearsal | NoRehearsal {
  const { protocol } = judged.judgement;
  const compiled = compileProtocol(judged, true);
  if (compiled.kind === "refused") return notReady(protocol, compiled.because);
  const reading = readRuleFile(compiled.text);
  if (reading.kind === "refused") return notReady(protocol, reading.faults[0].what);
  const { file } = reading;
  if (file.runs.kind === "not-explored") {
    return notReady(protocol, `Its runs were not gone through: ${file.runs.limit}.`);
  }
  return { kind: "ready", protocol, file, on, traced: automatonOfFile(protocol) };
}

function notReady({ name }: Protocol, because: string): NoRehearsal {
  return {
    kind: "not-ready",
    limit: `\`${name}\` cannot be followed. ${because} \`limb check\` tells more.`,
  };
}
