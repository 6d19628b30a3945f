import { automataOf, CAUTION, type Site } from "@limbwright/language";
import type { Command } from "commander";
import { makeOfOne, tellRefusal } from "./one-protocol.ts";
import { type ExitCode, type Invocation, jsonText } from "./surroundings.ts";

const HELP = `
Prints what the runs of a protocol are: a box for each step with the time it may take, a frame for the plan, for
each stage, for what each \`when\` does and for each emergency. What may happen at any moment of a frame is
one dashed arrow from it; a dotted arrow goes back to what was interrupted. DOT is read by the programs of
Graphviz and by many editors. What rules watch for is not drawn; with --json it is in the automaton.

Exit codes: 0 printed; 1 refused, for there are errors; 2 something could not be read.

Examples:
  limb automaton wrist-reduction.limb > wrist.dot
  limb automaton wrist-reduction.limb | dot -Tsvg > wrist.svg
  limb automaton wrist-reduction.limb --json
`;

interface AutomatonOptions {
  readonly protocol?: string;
  readonly leaks?: true;
  readonly json?: true;
  readonly workspace?: string;
}

export function define(command: Command, invocation: Invocation): void {
  command
    .argument("<file>", "the file with the protocol")
    .option("--protocol <name>", "the protocol to take, where the file has several")
    .option("--leaks", "with a cuff that may lose its pressure at any moment, and what answers it")
    .option("--json", "print the automaton as JSON")
    .option("--workspace <folder>", "the folder whose files may use one another")
    .addHelpText("after", HELP)
    .action((file: string, options: AutomatonOptions) => {
      invocation.finish(automaton(file, options, invocation));
    });
}

function automaton(named: string, options: AutomatonOptions, invocation: Invocation): ExitCode {
  const { leaks = false } = options;
  const make = (site: Site, file: string) => automataOf(site, file, { leaks });
  const asked = { ...options, subject: "an automaton", nothing: "no automaton", make };
  const { result, workspace } = makeOfOne(named, asked, invocation);
  if (result.kind === "refused") return tellRefusal(result, workspace, invocation);
  const { protocol, automaton: value, dot } = result;
  invocation.output.write(options.json ? jsonText({ protocol, caution: CAUTION, automaton: value }) : dot);
  return 0;
}
