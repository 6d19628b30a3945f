// Commander can start a subcommand that is a program of its own, and loads Node's child processes and network for
// it at every start. Our subcommands are all in one file, so it gets a stand-in that loads them if it ever asks.

/** An esbuild plugin. */
export const lightCommander = {
  name: "light-commander",
  setup(build) {
    build.onResolve({ filter: /^node:child_process$/ }, ({ importer }) =>
      /commander[\\/]lib[\\/]command\.js$/.test(importer)
        ? { path: "child-process-when-asked", namespace: "light-commander" }
        : undefined,
    );
    build.onLoad({ filter: /.*/, namespace: "light-commander" }, () => ({
      contents: 'exports.spawn = (...given) => require("node:child_process").spawn(...given);',
    }));
  },
};
