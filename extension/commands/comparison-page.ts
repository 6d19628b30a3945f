import { plainMarkdown } from "@limbwright/language/editor";
import type { CheckComparison } from "@limbwright/shared/editor";
import type { Finding } from "@limbwright/shared/finding";

export interface Compared {
  /** The file's. */
  readonly name: string;
  readonly isSameText: boolean;
  readonly comparison: CheckComparison | null;
}

type ComparedProtocol = CheckComparison["protocols"][number];
type Verdict = ComparedProtocol["verdicts"][number]["now"];

const WORDS: Readonly<Record<Verdict, string>> = {
  holds: "holds",
  broken: "broken",
  "not-decided": "not decided, which is not a pass",
};

/** What the check says otherwise than of the last commit, in Markdown; and what was not compared. */
export function comparisonPage({ name, isSameText, comparison }: Compared): string {
  const paragraphs = [
    `# ${plainMarkdown(name)}: since the last commit`,
    ...(isSameText ? ["The text is the same as in the last commit; files that it uses may be others."] : []),
    ...(comparison ? comparison.protocols.flatMap(ofProtocol) : ["Neither text has a protocol."]),
    "## What was not compared",
    comparison?.limit ?? "Nothing was compared.",
    "What the text uses from other files was taken as it stands now for both.",
    ...(comparison ? [`*${comparison.caution}*`] : []),
  ];
  return `${paragraphs.join("\n\n")}\n`;
}

function ofProtocol({ protocol, isIn, appeared, vanished, verdicts }: ComparedProtocol): string[] {
  const heading = `## ${plainMarkdown(protocol)}`;
  if (isIn === "before") return [heading, "This protocol is gone: it stands only in the last commit."];
  const isNew = isIn === "now" ? ["This protocol is new: it is not in the last commit."] : [];
  const changes = [
    ...list("Found now, and not before", appeared.map(findingWords)),
    ...list("Found before, and not now", vanished.map(findingWords)),
    ...list(
      "Decided otherwise",
      verdicts.map(
        ({ rule, before, now }) => `${plainMarkdown(rule)}: ${WORDS[before]} before, ${WORDS[now]} now`,
      ),
    ),
  ];
  const nothing = changes.length === 0 ? ["The rules find and decide the same of both."] : [];
  return [heading, ...isNew, ...changes, ...nothing];
}

function list(title: string, items: readonly string[]): string[] {
  return items.length === 0 ? [] : [`### ${title}`, items.map((item) => `- ${item}`).join("\n")];
}

function findingWords({ severity, rule, what }: Finding): string {
  return `**${severity}** ${plainMarkdown(rule)}: ${plainMarkdown(what)}`;
}
