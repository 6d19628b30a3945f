import { createRequire } from "node:module";
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

/** Runs a TypeScript module of the sources with the other workspaces and all packages bundled into it; gives its exports. */
export async function importWhole(path) {
  const { outputFiles } = await build({
    absWorkingDir: root,
    entryPoints: [path],
    bundle: true,
    format: "cjs",
    platform: "node",
    target: "node20",
    conditions: ["limbwright-source"],
    write: false,
  });
  const module = { exports: {} };
  // CommonJS, because packages of the parser require others while they run.
  new Function("module", "exports", "require", outputFiles[0].text)(
    module,
    module.exports,
    createRequire(import.meta.url),
  );
  return module.exports;
}
