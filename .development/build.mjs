// Builds the command line (one file, with V8's compiled code beside it) and the libraries. Run by `npm run build`.

import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readFileSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";
import ts from "typescript";
import { refuseHeavyInputs } from "./heavy-inputs.mjs";
import { lightParser } from "./light-parser.mjs";

const root = join(dirname(fileURLToPath(import.meta.url)), "..");
const WARM_UP = join(root, "examples/tarn-hollow");
const DIAGNOSTICS = {
  getCanonicalFileName: (name) => name,
  getCurrentDirectory: () => root,
  getNewLine: () => "\n",
};
const COMMON = { absWorkingDir: root, bundle: true, metafile: true, target: "node20", write: false };

await buildLibraries();
if (existsSync(join(root, "server/cli/main.ts"))) {
  await buildCommandLine();
}

/** One CommonJS file without dependencies: reading one file is what makes the start fast. */
async function buildCommandLine() {
  const { outputFiles, metafile } = await build({
    ...COMMON,
    entryPoints: ["server/cli/main.ts"],
    outfile: "server/dist/limb.cjs",
    format: "cjs",
    platform: "node",
    conditions: ["limbwright-source"],
    minify: true,
    sourcemap: "external",
    legalComments: "external",
    plugins: [lightParser],
  });
  refuseHeavyInputs(metafile);
  rmSync(join(root, "server/dist"), { recursive: true, force: true });
  mkdirSync(join(root, "server/dist"), { recursive: true });
  for (const { path, text } of outputFiles) {
    writeWhole(path, path.endsWith(".cjs") ? `// ${digestOf(text)}\n${text}` : text);
  }
  keepCompiledCode();
  console.log("built server/dist");
}

/** A check of an example makes the launcher keep what V8 compiled for it. */
function keepCompiledCode() {
  if (existsSync(WARM_UP)) {
    spawnSync(process.execPath, [join(root, "server/bin/limb.cjs"), "check", WARM_UP], { stdio: "ignore" });
  }
}

/** The packages that other programs import: plain modules for Node 20 and browsers, with types. */
async function buildLibraries() {
  for (const workspace of ["shared", "language"]) {
    const folder = join(root, workspace);
    if (libraryEntries(folder).length === 0) {
      continue;
    }
    rmSync(join(folder, "dist"), { recursive: true, force: true });
    const { outputFiles } = await build({
      ...COMMON,
      entryPoints: libraryEntries(folder),
      outdir: join(folder, "dist"),
      format: "esm",
      platform: "neutral",
      packages: "external",
      sourcemap: "linked",
      splitting: true,
    });
    mkdirSync(join(folder, "dist"), { recursive: true });
    for (const { path, text } of outputFiles) {
      writeWhole(path, text);
    }
    declare(folder);
    console.log(`built ${workspace}/dist`);
  }
}

/** The entry points a package offers, from its own `exports`: source file and name of the built file. */
function libraryEntries(folder) {
  const { exports } = JSON.parse(readFileSync(join(folder, "package.json"), "utf8"));
  return Object.values(exports)
    .map((of) => ({
      in: join(folder, of["limbwright-source"]),
      out: of.default.replace(/^\.\/dist\/(.*)\.js$/, "$1"),
    }))
    .filter((entry) => existsSync(entry.in));
}

/** Type declarations of a library. Other workspaces are read as built, as a program that installs them would. */
function declare(folder) {
  const { config } = ts.readConfigFile(join(root, "tsconfig.json"), ts.sys.readFile);
  const { options } = ts.convertCompilerOptionsFromJson(config.compilerOptions, root);
  const program = ts.createProgram(
    libraryEntries(folder).map((entry) => entry.in),
    {
      ...options,
      customConditions: [],
      declaration: true,
      emitDeclarationOnly: true,
      noEmit: false,
      outDir: join(folder, "dist"),
      rewriteRelativeImportExtensions: true,
      rootDir: folder,
      types: [],
    },
  );
  const problems = [...ts.getPreEmitDiagnostics(program), ...program.emit().diagnostics];
  if (problems.length > 0) {
    console.error(ts.formatDiagnosticsWithColorAndContext(problems, DIAGNOSTICS));
    process.exit(1);
  }
}

function digestOf(text) {
  return createHash("sha256").update(text).digest("hex").slice(0, 16);
}

/** A reader beside us sees the old file or the new one, never a part. */
function writeWhole(path, text) {
  const unfinished = `${path}.${process.pid}`;
  writeFileSync(unfinished, text);
  renameSync(unfinished, path);
}
