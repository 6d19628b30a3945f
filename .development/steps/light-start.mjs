// Two packages bring in, for a corner of what they do, a part that costs every start of the command line:
// Langium's document builder takes one error class from the language server protocol, and with it all of the
// protocol; commander takes Node's child processes, and with them the network, to run commands that are
// programs of their own, which we have none of.

const STAND_INS = [
  {
    module: "vscode-languageserver-protocol",
    importer: /langium[\\/]lib[\\/]workspace[\\/]document-builder\.js$/,
    contents: `
      export { ResponseError } from "vscode-jsonrpc/lib/common/messages.js";
      export const LSPErrorCodes = { RequestFailed: -32803, ServerCancelled: -32802 };
    `,
  },
  {
    module: "node:child_process",
    importer: /commander[\\/]lib[\\/]command\.js$/,
    contents: "export function spawn() { throw new Error('A command of limb is no program of its own.'); }",
  },
];

/** An esbuild plugin. An import that a stand-in lacks fails the build, so a change in a package is noticed. */
export const lightStart = {
  name: "light-start",
  setup(build) {
    build.onResolve(
      { filter: /^(vscode-languageserver-protocol|node:child_process)$/ },
      ({ path, importer }) => {
        const index = STAND_INS.findIndex((one) => one.module === path && one.importer.test(importer));
        return index < 0
          ? undefined
          : {
              path,
              namespace: "light-start",
              pluginData: { index, folder: importer.replace(/[^\\/]*$/, "") },
            };
      },
    );
    build.onLoad({ filter: /.*/, namespace: "light-start" }, ({ pluginData: { index, folder } }) => ({
      contents: STAND_INS[index].contents,
      resolveDir: folder,
    }));
  },
};
