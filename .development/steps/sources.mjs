import { build } from "esbuild";
import { root } from "./files.mjs";

/** Runs a TypeScript module of the sources, given by its path from the root, and what it imports; gives its exports. */
export async function importSource(path) {
  const text = await bundleSource(path);
  return import(`data:text/javascript;base64,${Buffer.from(text).toString("base64")}`);
}

/** The text of one JavaScript module with all that a TypeScript module of the sources imports. */
export async function bundleSource(path) {
  const { outputFiles } = await build({
    absWorkingDir: root,
    entryPoints: [path],
    bundle: true,
    format: "esm",
    platform: "node",
    target: "node20",
    conditions: ["limbwright-source"],
    packages: "external",
    write: false,
  });
  return outputFiles[0].text;
}
