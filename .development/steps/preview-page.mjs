import { join, relative } from "node:path";
import { build } from "esbuild";
import { root } from "./files.mjs";

const DIST = join(root, "extension/dist");

/** The page of the preview: one script and one style, which load nothing. */
export async function previewPageFiles() {
  const { outputFiles } = await build({
    absWorkingDir: root,
    bundle: true,
    charset: "ascii",
    conditions: ["limbwright-source"],
    entryPoints: {
      "preview/page": "extension/preview/page/page.ts",
      "preview/style": "extension/preview/page/page.css",
      "preview/comparison": "extension/preview/page/comparison.ts",
    },
    format: "iife",
    minify: true,
    outdir: DIST,
    platform: "browser",
    target: "es2022",
    write: false,
  });
  return Object.fromEntries(
    outputFiles.map(({ path, text }) => [relative(DIST, path).replaceAll("\\", "/"), text]),
  );
}
