import { GUIDELINES } from "./guidelines.ts";
import { LABELS } from "./labels.ts";
import type { Source } from "./source.ts";
import { STUDIES } from "./studies.ts";
import { TEXTBOOKS } from "./textbooks.ts";
import { WRITING } from "./writing.ts";

/** Every source that a rule names, once. */
export const SOURCES = {
  ...LABELS,
  ...TEXTBOOKS,
  ...GUIDELINES,
  ...STUDIES,
  ...WRITING,
  "common-practice": { title: "Common practice", seen: "common practice, no source" },
} satisfies Readonly<Record<string, Source>>;

export type SourceId = keyof typeof SOURCES;

/** What a source says about the matter of one rule, with its own numbers. */
export interface Citation {
  readonly source: SourceId;
  readonly says: string;
  /** Whether it speaks against what the rule judges by. */
  readonly disagrees?: true;
}

/** A citation with all that is known of its source. */
export type CitedSource = Citation & Source;

export function sourceOf(id: SourceId): Source {
  return SOURCES[id];
}

/** Citations as a list in Markdown: those that the rule follows, then those that disagree with it. */
export function citationsText(citations: readonly Citation[]): string {
  const following = citations.filter(({ disagrees }) => !disagrees);
  const disagreeing = citations.filter(({ disagrees }) => disagrees);
  return [
    following.map(citationLine).join("\n"),
    ...(disagreeing.length > 0 ? ["These disagree:", disagreeing.map(citationLine).join("\n")] : []),
  ].join("\n\n");
}

function citationLine({ source, says }: Citation): string {
  const { title, address, seen } = sourceOf(source);
  if (source === "common-practice") return `- ${says.charAt(0).toUpperCase()}${says.slice(1)} (${seen}).`;
  return `- ${title}: ${says} (${seen}).${address === undefined ? "" : ` <${address}>`}`;
}
