import { join, relative } from "node:path";
import { build } from "esbuild";
import { root } from "./files.mjs";

const DIST = join(root, "server/dist");

/** The language server for Node: one file without dependencies that also runs as the prover's thread. */
export async function languageServerFiles() {
  const { outputFiles } = await build({
    absWorkingDir: root,
    entryPoints: { "language-server": "server/language-server/node.ts" },
    outdir: DIST,
    outExtension: { ".js": ".cjs" },
    bundle: true,
    charset: "ascii",
    format: "cjs",
    platform: "node",
    target: "node20",
    conditions: ["limbwright-source"],
    legalComments: "external",
    minify: true,
    sourcemap: "external",
    write: false,
  });
  return Object.fromEntries(outputFiles.map(({ path, text }) => [relative(DIST, path), text]));
}
