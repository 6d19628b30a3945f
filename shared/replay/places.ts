import type { RuleFile } from "../rule-file/generated/rule-file.ts";
import type { ProtocolPlace } from "./deviation.ts";

/** Where a part of a rule file is written. */
export function placeOf({ origins, sources }: RuleFile, pointer: string): ProtocolPlace | undefined {
  const origin = (origins as Record<string, { source: number; start: { line: number } } | undefined>)[
    pointer
  ];
  const source = origin && sources[origin.source];
  return origin && source && { file: source.file, line: origin.start.line };
}
