import { findingLines, placeText, type Refused, Site, wrap } from "@limbwright/language";
import { openFiles } from "../workspace/open-files.ts";
import { Trouble } from "../workspace/trouble.ts";
import type { Workspace } from "../workspace/workspace.ts";
import type { Invocation } from "./surroundings.ts";

/** What a command that is about one protocol is given, and what it makes of it. */
export interface OneProtocol<Result> {
  /** The protocol to take, where the file has several. */
  readonly protocol?: string | undefined;
  /** The folder whose files may use one another. */
  readonly workspace?: string | undefined;
  /** "a table": what the command makes. */
  readonly subject: string;
  /** "no dose table": what a file without a protocol has. */
  readonly nothing: string;
  /** Gives it for every protocol of a file. */
  readonly make: (site: Site, file: string) => readonly Result[] | undefined;
}

/** What a command is told that writes one thing of one protocol. */
export interface WritingOptions {
  readonly out?: string;
  readonly protocol?: string;
  readonly draft?: true;
  readonly on?: string;
  readonly json?: true;
  readonly workspace?: string;
}

export interface MadeOfOne<Result> {
  readonly result: Result;
  readonly workspace: Workspace;
  /** The path of the file in the workspace. */
  readonly file: string;
}

/** Makes of a file that is named what it has for one protocol. Throws `Trouble` where it cannot be read, or it is not clear for which. */
export function makeOfOne<Result extends { readonly protocol: string }>(
  named: string,
  asked: OneProtocol<Result>,
  { currentFolder }: Invocation,
): MadeOfOne<Result> {
  const opened = openFiles({ names: [named], workspace: asked.workspace, currentFolder });
  const { workspace, files, troubles } = opened;
  const [file] = files;
  const [trouble] = troubles;
  if (trouble) throw trouble;
  if (file === undefined || files.length > 1) {
    throw new Trouble({
      file: named,
      what: `${named} is a folder with several files; ${asked.subject} is about one protocol.`,
      next: "Name the file of the protocol.",
    });
  }
  const results = asked.make(new Site(workspace.textOf), file) ?? [];
  const [unread] = workspace.troubles;
  if (unread) throw unread;
  return { result: chooseResult(results, named, asked), workspace, file };
}

/** The result for the one protocol of a file, or for the one that was asked for. */
function chooseResult<Result extends { readonly protocol: string }>(
  results: readonly Result[],
  file: string,
  { protocol, nothing }: OneProtocol<Result>,
): Result {
  const fitting = protocol === undefined ? results : results.filter((one) => one.protocol === protocol);
  const [result] = fitting;
  if (result && fitting.length === 1) return result;
  const names = results.map((one) => one.protocol);
  throw new Trouble({
    file,
    what:
      names.length === 0
        ? `${file} declares no protocol, so it has ${nothing}.`
        : protocol === undefined
          ? `${file} declares several protocols: ${names.join(", ")}.`
          : `${file} declares no protocol ${protocol}; it has ${names.join(", ")}.`,
    next: names.length === 0 ? "Name a file with a protocol in it." : "Choose one with --protocol NAME.",
  });
}

/** Says that nothing is written for a protocol, why, and which findings stand in the way; gives the exit code of that. */
export function tellRefusal(refused: Refused, workspace: Workspace, { messages }: Invocation): 1 {
  const options = { colour: messages.hasColour, width: messages.columns, textOf: workspace.textOf };
  const findings = refused.findings.map((finding) => findingLines(finding, options, [refused.protocol]));
  const below = findings.length > 0 ? " The findings below stand in the way." : "";
  const because = `limb: ${refused.because}${below}`;
  const open = refused.open.length > 0 ? [openLines(refused.open, messages.columns)] : [];
  messages.write(`${[[because], ...findings, ...open].map((lines) => lines.join("\n")).join("\n\n")}\n`);
  return 1;
}

/** What nobody could decide, each with its place: what is missing, and not what is wrong. */
function openLines(open: Refused["open"], columns: number): string[] {
  return [
    "Not decided, which is not a pass:",
    ...open.flatMap(({ rule, limit, origin }) =>
      wrap(`${rule}${origin ? ` at ${placeText(origin)}` : ""}: ${limit}.`, columns, "  - "),
    ),
  ];
}
