import { build } from "esbuild";
import { root } from "./files.mjs";

/** Runs a TypeScript module of the sources, given by its path from the root, and what it imports; gives its exports. */
export async function importSource(path) {
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
  return import(`data:text/javascript;base64,${Buffer.from(outputFiles[0].contents).toString("base64")}`);
}
