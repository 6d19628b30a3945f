import type { StatedRule } from "./engine/definition.ts";
import { boundsText, type Parameter, standardSource } from "./engine/parameter.ts";
import { pages } from "./generated/pages.ts";
import { citationsText } from "./sources/sources.ts";

type Described = Pick<StatedRule, "id" | "title" | "parameters" | "sources">;

/**
 * The page of a rule in Markdown: what its `page.md` says, with its title, its parameters and its sources. What
 * `page.md` adds about these two stands below their lists.
 */
export function pageOf({ id, title, parameters, sources }: Described): string {
  const written = pages[id] ?? "";
  const withSources = withList(written, "Sources", sources.length > 0 ? citationsText(sources) : "");
  const whole = withList(withSources, "Parameters", parametersTable(parameters));
  return `# ${id}\n\n**${title}.**\n\n${whole}`;
}

const LIMITS = "## What it does not see\n";

/** Puts a list under its heading. A page that says nothing more about it has none, and it comes before the limits. */
function withList(page: string, heading: "Parameters" | "Sources", list: string): string {
  if (list === "") return page;
  const own = `## ${heading}\n`;
  const section = `${own}\n${list}\n`;
  if (page.includes(`\n${own}`)) return page.replace(own, () => section);
  const next = heading === "Parameters" && page.includes("\n## Sources\n") ? "## Sources\n" : LIMITS;
  return page.replace(next, () => `${section}\n${next}`);
}

function parametersTable(parameters: readonly Parameter[]): string {
  if (parameters.length === 0) return "";
  const head = ["parameter", "what it is", "standard", "from", "tighter is", "bound"];
  return [head, head.map(() => "---"), ...parameters.map(cellsOf)]
    .map((cells) => `| ${cells.join(" | ")} |`)
    .join("\n");
}

function cellsOf(parameter: Parameter): string[] {
  const { name, title, unit, standard, tighter, choices = [] } = parameter;
  const others = choices.filter((choice) => choice !== standard).map((choice) => `, or \`${choice}\``);
  return [
    `\`${name}\``,
    title,
    `${standard} ${unit}`.trim() + others.join(""),
    standardSource(parameter) ?? "–",
    tighter ?? "–",
    boundsText(parameter) || "–",
  ];
}
