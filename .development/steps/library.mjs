import { readFileSync } from "node:fs";
import { join, relative } from "node:path";
import { build } from "esbuild";
import ts from "typescript";
import { fillFolder, root } from "./files.mjs";

/** Builds a package that other programs import: plain modules for Node 20 and browsers, with types. */
export async function buildLibrary(workspace) {
  const folder = join(root, workspace);
  const entries = entriesOf(folder);
  const files = { ...(await modules(folder, entries)), ...declarations(folder, entries) };
  fillFolder(join(folder, "dist"), files);
}

/**
 * The entry points a package offers, from its own `exports`: source file and name of the built file. A file
 * offered as it is (a schema) needs no building.
 */
function entriesOf(folder) {
  const { exports } = JSON.parse(readFileSync(join(folder, "package.json"), "utf8"));
  const modulesOffered = Object.values(exports).filter((of) => typeof of !== "string");
  return modulesOffered.map((of) => ({
    in: join(folder, of["limbwright-source"]),
    out: of.default.replace(/^\.\/dist\/(.*)\.js$/, "$1"),
  }));
}

async function modules(folder, entryPoints) {
  const { outputFiles } = await build({
    absWorkingDir: root,
    entryPoints,
    outdir: join(folder, "dist"),
    bundle: true,
    format: "esm",
    platform: "neutral",
    target: "es2022",
    packages: "external",
    splitting: true,
    sourcemap: "linked",
    write: false,
  });
  return Object.fromEntries(outputFiles.map(({ path, text }) => [inDist(folder, path), text]));
}

/** Type declarations. Other workspaces are read as built, as a program that installs them would. */
function declarations(folder, entries) {
  const program = ts.createProgram(
    entries.map((entry) => entry.in),
    declarationOptions(folder),
  );
  const files = {};
  const emitted = program.emit(undefined, (path, text) => {
    files[inDist(folder, path)] = text;
  });
  const problems = [...ts.getPreEmitDiagnostics(program), ...emitted.diagnostics];
  if (problems.length > 0) {
    throw new Error(`The types of ${folder} do not hold:\n${ts.formatDiagnostics(problems, PLAIN)}`);
  }
  return { ...files, ...writtenDeclarations(folder, program) };
}

function declarationOptions(folder) {
  const { config } = ts.readConfigFile(join(root, "tsconfig.json"), ts.sys.readFile);
  const { options } = ts.convertCompilerOptionsFromJson(config.compilerOptions, root);
  return {
    ...options,
    customConditions: [],
    declaration: true,
    emitDeclarationOnly: true,
    // Types are checked by `npm run types`, of all workspaces at once; here they are only written down.
    noCheck: true,
    noEmit: false,
    outDir: join(folder, "dist"),
    rewriteRelativeImportExtensions: true,
    rootDir: folder,
    types: [],
  };
}

/** Declarations that stand beside plain JavaScript, which the compiler reads and does not copy. */
function writtenDeclarations(folder, program) {
  const own = program
    .getSourceFiles()
    .filter(({ fileName, isDeclarationFile }) => isDeclarationFile && fileName.startsWith(`${folder}/`))
    .filter(({ fileName }) => !fileName.includes("/node_modules/") && !fileName.includes("/dist/"));
  return Object.fromEntries(own.map(({ fileName, text }) => [relative(folder, fileName), text]));
}

function inDist(folder, path) {
  return relative(join(folder, "dist"), path).replaceAll("\\", "/");
}

const PLAIN = {
  getCanonicalFileName: (name) => name,
  getCurrentDirectory: () => root,
  getNewLine: () => "\n",
};
