import { formatText } from "@limbwright/language";
import type { Command } from "commander";
import { openFiles } from "../workspace/open-files.ts";
import { decodeText, MOST_BYTES, readText } from "../workspace/read-text.ts";
import { keepTrouble, Trouble } from "../workspace/trouble.ts";
import { STANDARD_INPUT, type Workspace } from "../workspace/workspace.ts";
import { writeWhole } from "../workspace/write-whole.ts";
import { type ExitCode, type Invocation, jsonText, tellTroubles } from "./surroundings.ts";

const HELP = `
Files are written whole or not at all. Comments and meaning stay. A file that cannot be read in full is left
as it is.

Exit codes: 0 all is laid out; 1 with --check, some file is not; 2 something could not be laid out.

Examples:
  limb format protocols
  limb format --check
  limb format --stdin < wrist-reduction.limb
`;

interface FormatOptions {
  readonly check?: true;
  readonly stdin?: true;
  readonly json?: true;
}

export function define(command: Command, invocation: Invocation): void {
  command
    .argument("[files...]", "files and folders (the current folder if none is named)")
    .option("--check", "change nothing; say which files are not laid out")
    .option("--stdin", "lay out standard input and print it")
    .option("--json", "print what was done as JSON")
    .addHelpText("after", HELP)
    .action((named: string[], options: FormatOptions) => {
      invocation.finish(options.stdin ? formatInput(invocation) : formatFiles(named, options, invocation));
    });
}

function formatInput(invocation: Invocation): ExitCode {
  invocation.output.write(
    layOutOrThrow(decodeText(invocation.input(MOST_BYTES + 1), "Standard input"), STANDARD_INPUT),
  );
  return 0;
}

interface Done {
  readonly file: string;
  readonly state: "unchanged" | "laid out" | "not laid out";
}

function formatFiles(named: readonly string[], options: FormatOptions, invocation: Invocation): ExitCode {
  const names = named.length > 0 ? named : ["."];
  const { workspace, files, troubles } = openFiles({
    names,
    workspace: undefined,
    currentFolder: invocation.currentFolder,
  });
  const failed = [...troubles];
  const done: Done[] = [];
  for (const file of files) {
    keepTrouble(failed, () => done.push(formatFile(workspace, file, options.check ?? false)));
  }
  tellTroubles(failed, invocation);
  invocation.output.write(options.json ? jsonText({ files: done, unread: failed }) : doneText(done));
  if (failed.length > 0) return 2;
  return done.some(({ state }) => state === "not laid out") ? 1 : 0;
}

function formatFile(workspace: Workspace, file: string, onlyCheck: boolean): Done {
  const path = workspace.realPathOf(workspace.pathOf(file));
  const text = readText(path, file);
  const formatted = layOutOrThrow(text, file);
  if (formatted === text) return { file, state: "unchanged" };
  if (onlyCheck) return { file, state: "not laid out" };
  writeWhole(path, file, formatted);
  return { file, state: "laid out" };
}

function layOutOrThrow(text: string, file: string): string {
  const result = formatText(text);
  if (result.kind === "formatted") return result.text;
  const { line, column } = result.place;
  throw new Trouble({
    file,
    what: `${file}:${line}:${column} was left as it is: ${result.reason}`,
    next: `\`limb check ${file}\` says more.`,
  });
}

function doneText(done: readonly Done[]): string {
  const changed = done.filter(({ state }) => state !== "unchanged");
  const lines = changed.map(({ file, state }) => `${state}: ${file}`);
  const unchanged = done.length - changed.length;
  return `${[...lines, `${unchanged} of ${done.length} already laid out.`].join("\n")}\n`;
}
