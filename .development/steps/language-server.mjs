import { join, relative } from "node:path";
import { build } from "esbuild";
import { root } from "./files.mjs";
import { lightStart } from "./light-start.mjs";

const DIST = join(root, "server/dist");

const COMMON = {
  absWorkingDir: root,
  outdir: DIST,
  bundle: true,
  charset: "ascii",
  target: "es2022",
  conditions: ["limbwright-source"],
  legalComments: "external",
  minify: true,
  plugins: [lightStart],
  sourcemap: "external",
  write: false,
};

/**
 * The language server: for Node as one file without dependencies that also runs as the prover's thread, and the same for a
 * web worker.
 */
export async function languageServerFiles() {
  const forNode = await build({
    ...COMMON,
    entryPoints: { "language-server": "server/language-server/node.ts" },
    outExtension: { ".js": ".cjs" },
    format: "cjs",
    platform: "node",
  });
  const forWorker = await build({
    ...COMMON,
    entryPoints: { "language-server-worker": "server/language-server/browser.ts" },
    format: "iife",
    platform: "browser",
  });
  const files = [...forNode.outputFiles, ...forWorker.outputFiles];
  return Object.fromEntries(files.map(({ path, text }) => [relative(DIST, path), text]));
}
