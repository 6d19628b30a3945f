import { resolve } from "node:path";
import { doseTablesOf, type Site } from "@limbwright/language";
import type { Command } from "commander";
import { writeWhole } from "../workspace/write-whole.ts";
import { dateArgument } from "./arguments.ts";
import { makeOfOne, tellRefusal, type WritingOptions } from "./one-protocol.ts";
import { type ExitCode, type Invocation, jsonText } from "./surroundings.ts";

const HELP = `
The table has a row a kilogram. Its headings are the first row; its caution is the last, which begins with #. Volumes
are drawn up to a mark of the syringe that the dose or its drug names, else to a whole mL where that is little. It is
refused while an error or an unsafe finding stands, while a rule whose breach would be unsafe is not decided, or words of
the template are left, unless --draft marks it as a draft.

Exit codes: 0 printed; 1 refused; 2 something could not be read or written.

Examples:
  limb table wrist-reduction.limb
  limb table wrist-reduction.limb --out doses.csv
  limb table wrist-reduction.limb --json
`;

export function define(command: Command, invocation: Invocation): void {
  command
    .argument("<file>", "the file with the protocol")
    .option("--out <file>", "where to write the table (standard output if not said)")
    .option("--protocol <name>", "the protocol to take, where the file has several")
    .option("--draft", "print the table marked as a draft, although something stands in the way")
    .option("--json", "print the table as JSON: its note, its columns and a list of texts for each row")
    .option("--on <date>", "judge acceptances as on this day (today if not said)", dateArgument)
    .option("--workspace <folder>", "the folder whose files may use one another")
    .addHelpText("after", HELP)
    .action((file: string, options: WritingOptions) => {
      invocation.finish(table(file, options, invocation));
    });
}

function table(named: string, options: WritingOptions, invocation: Invocation): ExitCode {
  const { on = invocation.today, draft = false, out = "-" } = options;
  const given = { on, draft };
  const make = (site: Site, file: string) => doseTablesOf(site, file, given);
  const asked = { ...options, subject: "a table", nothing: "no dose table", make };
  const { result, workspace } = makeOfOne(named, asked, invocation);
  if (result.kind === "refused") return tellRefusal(result, workspace, invocation);
  const text = options.json ? jsonText({ protocol: result.protocol, ...result.table }) : result.csv;
  if (out === "-") invocation.output.write(text);
  else writeWhole(resolve(invocation.currentFolder, out), out, text);
  return 0;
}
