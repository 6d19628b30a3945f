import { Command, CommanderError } from "commander";
import { version } from "../package.json";
import { Trouble } from "../workspace/trouble.ts";
import { type ExitCode, type Invocation, ReaderGone, type Surroundings } from "./surroundings.ts";

interface CommandEntry {
  readonly name: string;
  readonly summary: string;
  /** Loads its options, its help and its work. Only the command that was asked for is: a start has to be quick. */
  readonly load: () => Promise<{ readonly define: (command: Command, invocation: Invocation) => void }>;
}

const COMMANDS: readonly CommandEntry[] = [
  { name: "check", summary: "say what is wrong in protocols", load: () => import("./check.ts") },
  { name: "test", summary: "run the scenarios of protocols", load: () => import("./test.ts") },
  { name: "replay", summary: "hold recorded cases against a protocol", load: () => import("./replay.ts") },
  { name: "compile", summary: "write the rule files of protocols", load: () => import("./compile.ts") },
  { name: "verify", summary: "prove rule files again from themselves", load: () => import("./verify.ts") },
  { name: "compare", summary: "say what two versions do otherwise", load: () => import("./compare.ts") },
  { name: "table", summary: "print a protocol's dose table as CSV", load: () => import("./table.ts") },
  { name: "sheet", summary: "write a protocol's bedside sheet to print", load: () => import("./sheet.ts") },
  {
    name: "automaton",
    summary: "draw the automaton of a protocol, in DOT",
    load: () => import("./automaton.ts"),
  },
  {
    name: "hazards",
    summary: "print the hazard log, also of a protocol",
    load: () => import("./hazards.ts"),
  },
  { name: "format", summary: "lay files out in the one accepted way", load: () => import("./format.ts") },
  { name: "new", summary: "start a protocol from a template", load: () => import("./new.ts") },
  { name: "server", summary: "serve an editor (language server)", load: () => import("./server.ts") },
  { name: "rules", summary: "list every rule with its parameters", load: () => import("./rules.ts") },
  {
    name: "why",
    summary: "explain a rule with its sources, or a kind of change",
    load: () => import("./why.ts"),
  },
];

const END_OF_HELP = `
Exit codes:
  0  nothing was found
  1  something was found (check: at or above the chosen severity)
  2  wrong usage, or something could not be read or written
  3  nothing was found, but something is not decided, which is not a pass

Example:
  limb check protocols        checks every .limb file in the folder protocols

Limbwright is a drafting aid, not a medical device: local policy and licensed practice decide.
`;

/** Runs the command line and gives the code with which the process has to end. Never throws. */
export async function limb(given: readonly string[], surroundings: Surroundings): Promise<ExitCode> {
  let code: ExitCode = 0;
  const invocation: Invocation = { ...surroundings, finish: (ended) => (code = ended) };
  try {
    const program = await programFor(given, invocation);
    await program.parseAsync(given, { from: "user" });
    return code;
  } catch (error) {
    const { code: ended, words } = endingOf(error);
    if (words !== "") tell(words, invocation);
    return ended;
  }
}

async function programFor(given: readonly string[], invocation: Invocation): Promise<Command> {
  const { output, messages } = invocation;
  const asked = given.filter((word) => !word.startsWith("-"));
  const name = asked[0] === "help" ? asked[1] : asked[0];
  const program = new Command("limb")
    .description("Checks and compiles protocols of intravenous regional anaesthesia, written as .limb files.")
    .version(version, "-V, --version", "print the version")
    .helpOption("-h, --help", "show help")
    .helpCommand("help [command]", "show the help of a command")
    .addHelpText("after", END_OF_HELP)
    .exitOverride()
    .configureOutput({
      writeOut: output.write,
      writeErr: messages.write,
      getOutHelpWidth: () => output.columns,
      getErrHelpWidth: () => messages.columns,
      outputError: (text, write) => write(usageText(text, name)),
    });
  for (const entry of COMMANDS) {
    const command = program.command(entry.name).summary(entry.summary).description(sentence(entry.summary));
    if (entry.name === name) (await entry.load()).define(command, invocation);
  }
  return program;
}

function sentence(summary: string): string {
  return `${summary.charAt(0).toUpperCase()}${summary.slice(1)}.`;
}

function usageText(text: string, name: string | undefined): string {
  const what = text.replace(/^error: /, "").trim();
  const end = /[.)]$/.test(what) ? "" : ".";
  const isCommand = COMMANDS.some((entry) => entry.name === name);
  return `limb: ${what}${end}\n\`limb ${isCommand ? `${name} ` : ""}--help\` shows how it is used.\n`;
}

interface Ending {
  readonly code: ExitCode;
  readonly words: string;
}

function endingOf(error: unknown): Ending {
  if (error instanceof CommanderError) return { code: error.exitCode === 0 ? 0 : 2, words: "" };
  if (error instanceof ReaderGone) return { code: 2, words: "" };
  if (error instanceof Trouble) return { code: 2, words: `limb: ${error.what} ${error.next}\n` };
  const trace = error instanceof Error ? (error.stack ?? error.message) : String(error);
  const excuse =
    "limb: this is a fault in the program, not in your files. Please report it with these lines:";
  return { code: 2, words: `${excuse}\n${trace}\n` };
}

function tell(words: string, { messages }: Invocation): void {
  try {
    messages.write(words);
  } catch {
    // Nobody reads the messages either; the exit code still tells.
  }
}
