import { type RuleFileFault, readRuleFile } from "@limbwright/shared/rule-file";
import type { Json } from "./mutations.ts";

/** What the reader has against a file, as a value or as its text. */
export function faultsOf(value: Json | string): readonly RuleFileFault[] {
  const reading = readRuleFile(typeof value === "string" ? value : JSON.stringify(value));
  return reading.kind === "read" ? [] : reading.faults;
}
