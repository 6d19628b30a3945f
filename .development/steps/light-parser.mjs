// Langium's document builder takes one error class from the language server protocol, and with it the whole
// protocol: 150 kB that a command line loads at every start. This gives it the class alone.

const ERRORS = `
  export { ResponseError } from "vscode-jsonrpc/lib/common/messages.js";
  export const LSPErrorCodes = { RequestFailed: -32803, ServerCancelled: -32802 };
`;

/** An esbuild plugin. An import that the stand-in lacks fails the build, so a change in Langium is noticed. */
export const lightParser = {
  name: "light-parser",
  setup(build) {
    build.onResolve({ filter: /^vscode-languageserver-protocol$/ }, ({ importer }) =>
      /langium[\\/]lib[\\/]workspace[\\/]document-builder\.js$/.test(importer)
        ? { path: "language-server-errors", namespace: "light-parser", pluginData: importer }
        : undefined,
    );
    build.onLoad({ filter: /.*/, namespace: "light-parser" }, ({ pluginData }) => ({
      contents: ERRORS,
      resolveDir: pluginData.replace(/[^\\/]*$/, ""),
    }));
  },
};
