import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { BANNER, fillFolder, root } from "./files.mjs";
import { readHazards, readRulePage, readSharedCitations, readSources } from "./rule-page.mjs";
import { textsToReplace } from "./template.mjs";

const RULES = join(root, "language/rules");
const SOURCES = "language/rules/sources";
const HAZARDS = "language/rules/hazards/hazards.yaml";
const SHARED = "shared-citations.yaml";

/**
 * Writes the catalogue: a rule is in it because its folder has a page. What the page says of the rule is put together with how
 * `rule.ts` judges it; a rule that is reported while the text is read has no such file.
 */
export function generateCatalogue() {
  const ids = readdirSync(RULES)
    .filter((name) => existsSync(join(RULES, name, "page.md")))
    .sort();
  const sources = allSources();
  const hazards = readHazards(HAZARDS, read(HAZARDS), ids);
  const known = {
    sources,
    hazards: hazards.map(({ id }) => id),
    shared: readSharedCitations(`${SOURCES}/${SHARED}`, read(SOURCES, SHARED), sources),
  };
  const rules = ids.map((id) => readRulePage(id, read("language/rules", id, "page.md"), known));
  fillFolder(join(RULES, "generated"), {
    "sources.ts": `${BANNER}export const SOURCES = ${json(sources)} as const;\n`,
    "template-texts.ts": `${BANNER}export const TEXTS_TO_REPLACE: readonly string[] = ${json(textsToReplace())};\n`,
    "hazards.ts": `${BANNER}export const HAZARDS = ${json(hazards)} as const;\n`,
    "stated.ts": statedText(rules),
    "catalogue.ts": catalogueText(ids),
    "pages.ts": `${BANNER}export const pages: Readonly<Record<string, string>> = ${json(Object.fromEntries(rules.map(({ stated, page }) => [stated.id, page])))};\n`,
  });
}

/** Every source that a rule may name, once. */
function allSources() {
  const files = readdirSync(join(root, SOURCES)).filter((name) => name.endsWith(".yaml") && name !== SHARED);
  const all = files.sort().flatMap((name) => {
    const file = `${SOURCES}/${name}`;
    return Object.entries(readSources(file, read(file))).map(([id, source]) => ({ id, source, file }));
  });
  for (const { id, file } of all) {
    const other = all.find((one) => one.id === id && one.file !== file);
    if (other) throw new Error(`${file}, ${id} is in ${other.file} already.`);
  }
  return Object.fromEntries(all.map(({ id, source }) => [id, source]));
}

function statedText(rules) {
  const byId = Object.fromEntries(rules.map(({ stated }) => [stated.id, stated]));
  return `${BANNER}import type { StatedRule } from "../engine/definition.ts";

export const STATED = ${json(byId)} satisfies Readonly<Record<string, StatedRule>>;
`;
}

function catalogueText(ids) {
  const judged = ids.filter((id) => existsSync(join(RULES, id, "rule.ts")));
  const imports = judged.map((id, index) => `import { rule as rule${index} } from "../${id}/rule.ts";\n`);
  const list = ids.map((id) => {
    const index = judged.indexOf(id);
    const stated = `STATED[${JSON.stringify(id)}]`;
    return index < 0 ? `  ${stated},\n` : `  { ...${stated}, ...rule${index} },\n`;
  });
  return `${BANNER}${imports.join("")}import type { AnyRule } from "../engine/definition.ts";
import { STATED } from "./stated.ts";

export const rules: readonly AnyRule[] = [\n${list.join("")}];
`;
}

function json(value) {
  return JSON.stringify(value, undefined, 2);
}

function read(...path) {
  return readFileSync(join(root, ...path), "utf8").replaceAll("\r\n", "\n");
}
