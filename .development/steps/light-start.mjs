// Two packages bring in, for a corner of what they do, a part that costs every start: Langium takes four small classes
// from the language server protocol, and with them all of the protocol; commander takes Node's child processes, and with
// them the network, to run commands that are programs of their own, which we have none of.

import { createRequire } from "node:module";
import { join } from "node:path";

const STAND_INS = [
  {
    module: "vscode-languageserver-protocol",
    importer: /langium[\\/]lib[\\/](workspace|utils)[\\/][a-z-]+\.js$/,
    contents: (importer) => {
      const part = (name) =>
        JSON.stringify(join(createRequire(importer).resolve("vscode-jsonrpc"), "..", name));
      return `
        export { ResponseError } from ${part("messages.js")};
        export { CancellationToken, CancellationTokenSource } from ${part("cancellation.js")};
        export { Emitter } from ${part("events.js")};
        export const LSPErrorCodes = { RequestFailed: -32803, ServerCancelled: -32802 };
      `;
    },
  },
  {
    module: "node:child_process",
    importer: /commander[\\/]lib[\\/]command\.js$/,
    contents: () =>
      "export function spawn() { throw new Error('A command of limb is no program of its own.'); }",
  },
];

/** An esbuild plugin. An import that a stand-in lacks fails the build, so a change in a package is noticed. */
export const lightStart = {
  name: "light-start",
  setup(build) {
    for (const { module, importer: from, contents } of STAND_INS) {
      build.onResolve({ filter: new RegExp(`^${module}$`) }, ({ path, importer }) =>
        from.test(importer) ? { path, namespace: "light-start", pluginData: importer } : undefined,
      );
      build.onLoad(
        { filter: new RegExp(`^${module}$`), namespace: "light-start" },
        ({ pluginData: importer }) => ({
          contents: contents(importer),
          resolveDir: join(importer, ".."),
        }),
      );
    }
  },
};
