import { execFileSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { BANNER, fillFolder, root } from "./files.mjs";

const GRAMMAR = join(root, "language/grammar");

/** Writes the parser's tables and the types of the syntax tree into language/grammar/generated. */
export function generateParser() {
  const folder = mkdtempSync(join(tmpdir(), "limb-parser-"));
  try {
    runLangium(folder);
    const out = join(folder, "out");
    const files = readdirSync(out).map((name) => [name, readFileSync(join(out, name), "utf8")]);
    const { "grammar.ts": grammar, ...others } = Object.fromEntries(files);
    const generated = { "grammar.ts": grammar, "keywords.ts": keywordsText(grammar), ...others };
    fillFolder(join(GRAMMAR, "generated"), generated);
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** The words of the grammar as a list: to gather them from its tree would cost every start. */
function keywordsText(grammar) {
  const all = [...grammar.matchAll(/"\$type":"Keyword","value":"([a-z][^"]*)"/g)].map(([, word]) => word);
  const list = JSON.stringify([...new Set(all)], undefined, 2);
  return `${BANNER}
/** Every word of the language. A name cannot be one of them. */
export const KEYWORDS: ReadonlySet<string> = new Set(${list});
`;
}

/** Langium empties its target before it writes, so it writes beside, and what changed is taken over. */
function runLangium(folder) {
  const config = JSON.parse(readFileSync(join(GRAMMAR, "langium-config.json"), "utf8"));
  const languages = config.languages.map((of) => ({ ...of, grammar: join(GRAMMAR, of.grammar) }));
  const file = join(folder, "langium-config.json");
  writeFileSync(file, JSON.stringify({ ...config, languages, out: "out" }));
  const langium = fileURLToPath(new URL("../bin/langium.js", import.meta.resolve("langium-cli")));
  const given = [
    "--import",
    new URL("group-by.mjs", import.meta.url).href,
    langium,
    "generate",
    "--file",
    file,
  ];
  try {
    execFileSync(process.execPath, given, { cwd: root, stdio: "pipe" });
  } catch (error) {
    throw new Error(`The grammar could not be turned into a parser:\n${error.stdout}${error.stderr}`, {
      cause: error,
    });
  }
}
