import { markdownText, sentence } from "../comparison/markdown.ts";
import { hazardDocument, type Row } from "./document.ts";
import type { HazardLog } from "./log.ts";

/** A hazard log as a page of Markdown, to be completed by whoever judges what is left. */
export function hazardMarkdown(log: HazardLog): string {
  const { title, says, sections, caution } = hazardDocument(log);
  const blocks = [
    `# ${sentence(title)}`,
    ...says.map(sentence),
    ...sections.flatMap((section) => [`## ${sentence(section.title)}`, ...section.rows.map(rowText)]),
    `*${markdownText(caution)}*`,
  ];
  return `${blocks.join("\n\n")}\n`;
}

function rowText({ label, items }: Row): string {
  const [only] = items;
  if (only !== undefined && items.length === 1) return `**${label}:** ${sentence(only)}`;
  return [`**${label}:**`, "", ...items.map((item) => `- ${sentence(item)}`)].join("\n");
}
