/** A text of the author's as Markdown that shows it letter for letter: nothing in it can become markup, a link or a command. */
export function plainMarkdown(text: string): string {
  return text
    .replace(/[\r\n]+/g, " ")
    .replace(/&/g, "&amp;")
    .replace(/</g, "&lt;")
    .replace(/[\\`*_{}[\]()#+\-.!|~>:/@]/g, (character) => `\\${character}`);
}
