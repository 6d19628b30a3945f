import { readFileSync } from "node:fs";
import { join, relative } from "node:path";
import { build } from "esbuild";
import { fillFolder, root } from "./files.mjs";
import { previewPageFiles } from "./preview-page.mjs";
import { importWhole } from "./sources.mjs";

const EXTENSION = join(root, "extension");
const DIST = join(EXTENSION, "dist");
const SERVER = join(root, "server/dist");
/** What of the language server goes with the extension. */
const OF_SERVER = [
  "language-server.cjs",
  "language-server.cjs.LEGAL.txt",
  "language-server-worker.js",
  "language-server-worker.js.LEGAL.txt",
];

const COMMON = {
  absWorkingDir: root,
  bundle: true,
  charset: "ascii",
  conditions: ["limbwright-source"],
  external: ["vscode"],
  format: "cjs",
  legalComments: "external",
  minify: true,
  outdir: DIST,
  target: "es2022",
  write: false,
};

/** Builds the extension for editors with Node and for those in a browser, with the language server beside it. */
export async function buildExtension() {
  const bundles = await Promise.all([
    build({
      ...COMMON,
      entryPoints: { desktop: "extension/client/desktop.ts" },
      outExtension: { ".js": ".cjs" },
      platform: "node",
    }),
    build({ ...COMMON, entryPoints: { web: "extension/client/web.ts" }, platform: "browser" }),
  ]);
  const files = bundles.flatMap(({ outputFiles }) => outputFiles);
  fillFolder(DIST, {
    ...Object.fromEntries(files.map(({ path, text }) => [relative(DIST, path), text])),
    ...Object.fromEntries(OF_SERVER.map((name) => [name, readFileSync(join(SERVER, name), "utf8")])),
    "language-server-process.cjs": 'require("./language-server.cjs").serveStandardStreams();\n',
    "limb.tmLanguage.json": await jsonFrom("extension/language/text-mate-grammar.ts", "textMateGrammar"),
    ...(await previewPageFiles()),
    "snippets.json": await jsonFrom("extension/language/snippets.ts", "snippets"),
  });
}

/** What a function of the extension's sources gives, as JSON. */
async function jsonFrom(path, name) {
  const module = await importWhole(path);
  return `${JSON.stringify(module[name](), undefined, 2)}\n`;
}
