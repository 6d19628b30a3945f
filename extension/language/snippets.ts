import { FORMULARY_TEMPLATE, protocolTemplate } from "@limbwright/language";
import { STATEMENTS } from "@limbwright/language/editor";

/** A snippet as the editor reads it. One without a prefix is chosen from a list and never in the way while one types. */
export interface Snippet {
  readonly description: string;
  readonly body: readonly string[];
  /** Fills a whole file. */
  readonly isFileTemplate?: true;
}

/**
 * Every statement by the block it stands in, and whole files. The server offers the same statements while one types, at the
 * places where they fit; so these have no prefix.
 */
export function snippets(): Readonly<Record<string, Snippet>> {
  const statements = Object.entries(STATEMENTS).flatMap(([block, all]) =>
    all.map(({ word, says, template }): [string, Snippet] => [
      `${block === "" ? "file" : block}: ${word}`,
      { description: says, body: template.split("\n") },
    ]),
  );
  return Object.fromEntries([...statements, ...fileSnippets()]);
}

/** A file for a protocol takes its name from the place it is filled in. */
function fileSnippets(): [string, Snippet][] {
  const protocol = protocolTemplate({
    name: "NAME",
    title: "TITLE",
    place: "upper-arm",
    formulary: "FORMULARY",
    reviewBy: "REVIEW",
  });
  const body = escapePlaceholders(protocol)
    .replace("NAME", `\${1:name}`)
    .replace("TITLE", `\${2:Title}`)
    .replace("FORMULARY", `\${3:formulary.limb}`)
    .replace("REVIEW", `\${4:2027-06-30}`);
  return [
    ["whole protocol", fileSnippet("a protocol to go through line by line", body)],
    ["whole formulary", fileSnippet("the drugs of a hospital", escapePlaceholders(FORMULARY_TEMPLATE))],
  ];
}

function fileSnippet(description: string, text: string): Snippet {
  return { description, body: text.trimEnd().split("\n"), isFileTemplate: true };
}

/** What the editor would read as a place to fill in. */
function escapePlaceholders(text: string): string {
  return text.replace(/[\\$}]/g, "\\$&");
}
