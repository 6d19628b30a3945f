import { paintOf, paragraph, type TextOptions, wholeParagraph } from "../findings/text-finding.ts";
import { hazardDocument, type Row } from "./document.ts";
import type { HazardLog } from "./log.ts";

/** A hazard log for a terminal. */
export function hazardText(log: HazardLog, options: Omit<TextOptions, "textOf">): string {
  const shown = { ...options, textOf: () => undefined };
  const paint = paintOf(options);
  const { title, says, sections, caution } = hazardDocument(log);
  const blocks = [
    [
      ...wholeParagraph(title, shown).map(paint.strong),
      ...says.flatMap((text) => wholeParagraph(text, shown)),
    ],
    ...sections.map((section) => [
      ...wholeParagraph(section.title, shown).map(paint.strong),
      ...section.rows.flatMap((row) => rowLines(row, shown)),
    ]),
    wholeParagraph(caution, shown),
  ];
  return `${blocks.map((lines) => lines.join("\n")).join("\n\n")}\n`;
}

function rowLines({ label, items }: Row, options: TextOptions): string[] {
  const [only] = items;
  if (only !== undefined && items.length === 1) return paragraph("", `${label}: ${only}`, options);
  return [
    ...paragraph("", `${label}:`, options),
    ...items.flatMap((item) => paragraph("- ", item, options, "    ")),
  ];
}
