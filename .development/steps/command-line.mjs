import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { join, relative } from "node:path";
import { build } from "esbuild";
import { fillFolder, root } from "./files.mjs";
import { refuseHeavyInputs } from "./heavy-inputs.mjs";
import { languageServerFiles } from "./language-server.mjs";
import { lightStart } from "./light-start.mjs";

const DIST = join(root, "server/dist");
const WARM_UP = join(root, "examples/tarn-hollow/protocols");

/**
 * Builds the command line as one CommonJS file without dependencies: reading one file starts fastest. The language server
 * lies beside it.
 */
export async function buildCommandLine() {
  const { outputFiles, metafile } = await build({
    absWorkingDir: root,
    entryPoints: ["server/cli/main.ts"],
    outfile: "server/dist/limb.cjs",
    bundle: true,
    format: "cjs",
    platform: "node",
    target: "node20",
    conditions: ["limbwright-source"],
    legalComments: "external",
    metafile: true,
    minify: true,
    plugins: [lightStart],
    sourcemap: "external",
    write: false,
  });
  refuseHeavyInputs(metafile);
  const files = outputFiles.map(({ path, text }) => [relative(DIST, path), finished(path, text)]);
  fillFolder(DIST, { ...Object.fromEntries(files), ...(await languageServerFiles()) });
  keepCompiledCode();
}

/**
 * The launcher reads the bundle's digest in its first line, and the bundle byte by byte: every other character
 * is written as its code, also in regular expressions, which esbuild leaves as they are.
 */
function finished(path, text) {
  if (!path.endsWith(".cjs")) {
    return text;
  }
  const plain = text.replace(
    /[\u0080-\uffff]/g,
    (one) => `\\u${one.charCodeAt(0).toString(16).padStart(4, "0")}`,
  );
  return `// ${createHash("sha256").update(plain).digest("hex").slice(0, 16)}\n${plain}`;
}

/** A check of the example protocols makes the launcher keep what V8 compiled for it. */
function keepCompiledCode() {
  const { status, stderr } = spawnSync(
    process.execPath,
    [join(root, "server/bin/limb.cjs"), "check", WARM_UP],
    {
      encoding: "utf8",
    },
  );
  if (![0, 1, 3].includes(status)) {
    throw new Error(`The command line that was built cannot check ${WARM_UP}:\n${stderr}`);
  }
}
