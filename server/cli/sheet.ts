import { dirname, join, relative, resolve } from "node:path";
import { type Site, sheetPage, sheetsOf } from "@limbwright/language";
import type { Command } from "commander";
import { writeWhole } from "../workspace/write-whole.ts";
import { dateArgument } from "./arguments.ts";
import { makeOfOne, tellRefusal, type WritingOptions } from "./one-protocol.ts";
import { type ExitCode, type Invocation, jsonText } from "./surroundings.ts";

const HELP = `
The bedside sheet is one page of HTML that needs nothing else and prints on A4: steps and times in front, doses and
emergencies on the back. It is written beside the protocol, as PROTOCOL.html, or as --out says; whole or not at all.
A protocol is refused while an error or an unsafe finding stands that no acceptance covers, while a rule whose
breach would be unsafe is not decided and not answered by local rules, or while words of the
template are left; --draft writes it all the same, with "Draft – not for use" across every page, but not while there are errors.

Exit codes: 0 written; 1 the protocol was refused; 2 something could not be read or written.

Examples:
  limb sheet wrist-reduction.limb
  limb sheet wrist-reduction.limb --out block-room.html
`;

export function define(command: Command, invocation: Invocation): void {
  command
    .argument("<file>", "the file with the protocol")
    .option("--out <file>", "where to write the sheet; - is standard output")
    .option("--protocol <name>", "the protocol to take, where the file has several")
    .option("--draft", "write the sheet marked as a draft, although something stands in the way")
    .option(
      "--on <date>",
      "judge acceptances and the review as on this day (today if not said)",
      dateArgument,
    )
    .option("--json", "write what the sheet says as JSON, to standard output if --out names no file")
    .option("--workspace <folder>", "the folder whose files may use one another")
    .addHelpText("after", HELP)
    .action((file: string, options: WritingOptions) => {
      invocation.finish(sheet(file, options, invocation));
    });
}

function sheet(named: string, options: WritingOptions, invocation: Invocation): ExitCode {
  const { currentFolder, output } = invocation;
  const { on = invocation.today, draft = false } = options;
  const given = { on, draft };
  const make = (site: Site, file: string) => sheetsOf(site, file, given);
  const asked = { ...options, subject: "a sheet", nothing: "no sheet", make };
  const { result, workspace, file } = makeOfOne(named, asked, invocation);
  if (result.kind === "refused") return tellRefusal(result, workspace, invocation);
  const text = options.json
    ? jsonText({ protocol: result.protocol, ...result.sheet })
    : sheetPage(result.sheet);
  if (options.out === "-" || (options.json && options.out === undefined)) {
    output.write(text);
    return 0;
  }
  const path =
    options.out === undefined
      ? join(dirname(workspace.pathOf(file)), `${result.protocol}.html`)
      : resolve(currentFolder, options.out);
  const name = options.out ?? relative(currentFolder, path);
  writeWhole(path, name, text);
  output.write(`Wrote ${name}: ${result.protocol}, meaning ${result.sheet.head.meaning}\n`);
  return 0;
}
