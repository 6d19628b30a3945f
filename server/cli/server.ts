import { join } from "node:path";
import type { Command } from "commander";
import { Trouble } from "../workspace/trouble.ts";

const HELP = `
An editor starts this and speaks the Language Server Protocol 3.17 with it over standard input and output.
It ends when the editor does.

Example, for an editor that is told which command to start:
  limb server --stdio
`;

export function define(command: Command): void {
  command
    .requiredOption("--stdio", "speak over standard input and output (the one way there is)")
    .addHelpText("after", HELP)
    .action(serve);
}

/** The server is a bundle of its own beside this one, so that no other command has to load it. Ends with the process. */
function serve(): Promise<never> {
  const bundle = join(__dirname, "language-server.cjs");
  try {
    const { serveStandardStreams } = require(bundle);
    serveStandardStreams();
  } catch (error) {
    throw new Trouble(
      {
        file: bundle,
        what: `The language server cannot be started: ${error}.`,
        next: "Install the package again.",
      },
      { cause: error },
    );
  }
  return new Promise(() => {});
}
