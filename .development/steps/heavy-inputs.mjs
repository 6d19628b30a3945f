// Keeps the command line's start fast: the editor half of the parser must not get into its bundle.

const HEAVY = [
  "node_modules/langium/lib/lsp/",
  "node_modules/langium/lib/node/",
  "node_modules/vscode-languageserver/",
  "node_modules/vscode-languageserver-protocol/",
  "node_modules/ajv/",
];

/** Throws when the bundle holds a heavy module, and names the files that bring it in. */
export function refuseHeavyInputs(metafile) {
  const inputs = Object.keys(metafile.outputs).flatMap((output) =>
    Object.keys(metafile.outputs[output].inputs),
  );
  const heavy = inputs.filter((input) => HEAVY.some((part) => input.includes(part)));
  if (heavy.length > 0) {
    const lines = heavy.map(
      (input) => `  ${input}, imported for example by ${importersOf(input, metafile).join(", ")}`,
    );
    throw new Error(`The command line's bundle must not hold these modules:\n${lines.join("\n")}`);
  }
}

function importersOf(input, metafile) {
  return Object.entries(metafile.inputs)
    .filter(([, { imports }]) => imports.some(({ path }) => path === input))
    .map(([path]) => path)
    .slice(0, 3);
}
