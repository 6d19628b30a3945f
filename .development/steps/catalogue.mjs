import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { BANNER, fillFolder, root } from "./files.mjs";

const RULES = join(root, "language/rules");

/** Lists the folders of language/rules: a rule is in the catalogue because its folder is there. */
export function generateCatalogue() {
  const ids = readdirSync(RULES)
    .filter((name) => existsSync(join(RULES, name, "rule.ts")))
    .sort();
  const pages = ids.map((id) => [id, pageOf(id)]);
  fillFolder(join(RULES, "generated"), {
    "catalogue.ts": catalogueText(ids),
    "pages.ts": `${BANNER}export const pages: Readonly<Record<string, string>> = ${JSON.stringify(Object.fromEntries(pages), undefined, 2)};\n`,
  });
}

function catalogueText(ids) {
  const imports = ids.map((id, index) => `import { rule as rule${index} } from "../${id}/rule.ts";\n`);
  const list = ids.map((_, index) => `rule${index}`).join(", ");
  return `${BANNER}${imports.join("")}import type { AnyRule } from "../engine/definition.ts";\n\nexport const rules: readonly AnyRule[] = [${list}];\n`;
}

function pageOf(id) {
  const file = join(RULES, id, "page.md");
  if (!existsSync(file)) {
    throw new Error(`The rule ${id} has no page: write ${file}.`);
  }
  return readFileSync(file, "utf8").replaceAll("\r\n", "\n");
}
