/**
 * Which part may import which: shared ← language ← server ← extension, and inside the language from the
 * text to the outputs. Run by `npm run directions`.
 */

const { readFileSync } = require("node:fs");
const { join } = require("node:path");

const SYNTAX = "^language/(grammar|lower|editor)/";
/** The rooms of the language from the text to the outputs: each imports only those that stand before it. */
const ROOMS = [
  "population",
  "model",
  "grammar",
  "lower",
  "runs",
  "rules",
  "check",
  "rule-file",
  "compare",
  "scenarios",
  "outputs",
  "editor",
];
const ANALYSES = "^language/(model|population|runs|rules|check|rule-file|compare|scenarios|outputs)/";
const WORKSPACES = ["shared", "language", "server", "extension"];
const PRODUCT = `^(${WORKSPACES.join("|")})/`;

function layer(name, mayNotImport) {
  return {
    name: `${name}-stays-below`,
    comment: `Imports go one way: shared, language, server, extension. ${name} must not import what stands above it.`,
    severity: "error",
    from: { path: `^${name}/` },
    to: { path: `^(${mayNotImport.join("|")})/` },
  };
}

/** A room of the language stays before those that are made of it. */
function room(name, index) {
  return {
    name: `language-${name}-in-order`,
    comment: `The rooms of the language have one order: ${ROOMS.join(", ")}. ${name} must not import what comes after it.`,
    severity: "error",
    from: { path: `^language/${name}/` },
    to: { path: `^language/(${[...ROOMS.slice(index + 1), "index.ts"].join("|")})` },
  };
}

/** Another workspace is reached by its package name, so that its package.json says what is public. */
function workspaceByName(name) {
  return {
    name: `${name}-by-package-name`,
    comment: `Import @limbwright/${name} by its package name, not by a relative path.`,
    severity: "error",
    from: { path: PRODUCT, pathNot: `^${name}/` },
    to: { path: `^${name}/`, dependencyTypes: ["local"] },
  };
}

/** A workspace may import another only when its own package.json lists it under dependencies. */
function declaredWorkspacesOnly(name) {
  const manifest = JSON.parse(readFileSync(join(__dirname, name, "package.json"), "utf8"));
  const declared = Object.keys(manifest.dependencies ?? {}).map((of) => of.replace("@limbwright/", ""));
  const undeclared = WORKSPACES.filter((other) => other !== name && !declared.includes(other));
  return {
    name: `${name}-imports-declared-workspaces-only`,
    comment: `${name}/package.json does not list this workspace under dependencies.`,
    severity: "error",
    from: { path: `^${name}/` },
    to: { path: `^(${undeclared.join("|")})/` },
  };
}

module.exports = {
  forbidden: [
    layer("shared", ["language", "server", "extension", "tests", "examples", ".development"]),
    layer("language", ["server", "extension", "tests", "examples", ".development"]),
    layer("server", ["extension", "tests", "examples", ".development"]),
    ...WORKSPACES.map(workspaceByName),
    ...WORKSPACES.map(declaredWorkspacesOnly),
    ...ROOMS.map(room),
    {
      name: "rules-in-order",
      comment: "What every rule is made with (engine, facts) knows no single rule.",
      severity: "error",
      from: { path: "^language/rules/(engine|facts)/" },
      to: { path: "^language/rules/", pathNot: "^language/rules/(engine|facts|hazards|sources)/" },
    },
    {
      name: "rule-engine-knows-no-facts",
      comment: "The engine judges whatever rules it is given; facts of the trade belong to the rules.",
      severity: "error",
      from: { path: "^language/rules/engine/" },
      to: { path: "^language/rules/facts/" },
    },
    {
      name: "pure",
      comment: "shared and language take text and give values: no file system, process, clock or network.",
      severity: "error",
      from: { path: "^(shared|language)/" },
      to: { dependencyTypes: ["core"] },
    },
    {
      name: "parser-only-in-the-grammar",
      comment:
        "Only language/grammar, language/lower and language/editor know the parser and its syntax tree.",
      severity: "error",
      from: { path: PRODUCT, pathNot: SYNTAX },
      to: { path: "node_modules/(langium|chevrotain)" },
    },
    {
      name: "no-editor-half-below-the-server",
      comment: "The command line must start fast: the editor half of the parser stays out of the language.",
      severity: "error",
      from: { path: "^(shared|language)/" },
      to: { path: "node_modules/(langium/lib/lsp|vscode-languageserver)/" },
    },
    {
      name: "syntax-tree-stays-behind-lowering",
      comment: "After lowering nobody sees the tree: analyses read the protocol model, which a site gives.",
      severity: "error",
      from: { path: ANALYSES },
      to: { path: SYNTAX, pathNot: "^language/lower/site.ts$" },
    },
    {
      name: "declared-dependencies-only",
      comment: "A workspace imports only the packages its own package.json lists under dependencies.",
      severity: "error",
      from: { path: PRODUCT },
      to: { dependencyTypes: ["npm-dev", "npm-no-pkg", "npm-unknown"] },
    },
    {
      name: "tests-import-declared-packages",
      comment: "A test imports only packages that the root package.json lists.",
      severity: "error",
      from: { path: "^tests/" },
      to: { dependencyTypes: ["npm-no-pkg", "npm-unknown"] },
    },
    {
      name: "resolvable",
      comment: "Every import leads to a file; VS Code gives itself to its extensions.",
      severity: "error",
      from: {},
      to: { couldNotResolve: true, pathNot: "^vscode$" },
    },
    {
      name: "no-cycles",
      comment: "No file imports itself by a detour, types included.",
      severity: "error",
      from: {},
      to: { circular: true },
    },
  ],
  options: {
    doNotFollow: { path: "node_modules" },
    exclude: { path: "^(shared|language|server|extension)/dist/" },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: "tsconfig.json" },
    enhancedResolveOptions: {
      conditionNames: ["limbwright-source", "types", "import", "node", "default"],
      exportsFields: ["exports"],
      extensions: [".ts", ".js", ".cjs", ".mjs", ".json"],
    },
  },
};
