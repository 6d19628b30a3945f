import { SOURCES } from "../generated/sources.ts";

/**
 * A text in which a value or a rule of practice is published. `seen` tells how far it was read: the passage
 * itself, only an abstract, another text that reports it, or not at all (written from memory). What is common
 * practice without a source says so.
 */
export interface Source {
  readonly title: string;
  readonly address?: string;
  readonly seen: Seen;
}

export type Seen =
  | "passage read"
  | "abstract read"
  | "reported elsewhere"
  | "from memory"
  | "common practice, no source";

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
