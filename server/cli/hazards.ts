import {
  type HazardLog,
  hazardLog,
  hazardLogsOf,
  hazardMarkdown,
  hazardText,
  openPointIn,
  type ProtocolHazardLog,
  type Site,
} from "@limbwright/language";
import { isAtLeast } from "@limbwright/shared/finding";
import { CAUTION } from "@limbwright/shared/text";
import { type Command, Option } from "commander";
import { dateArgument } from "./arguments.ts";
import { makeOfOne } from "./one-protocol.ts";
import { type ExitCode, type Invocation, jsonText } from "./surroundings.ts";

const HELP = `
Prints what can hurt the patient, which rules guard against it, what only a person can judge, and what nothing
guards against. With a file: which of these guards hold in its protocol, which are broken, which are not decided,
and which texts a person has to judge. Risks are not rated; that is for local policy.

Exit codes with a file: 0 every guard holds; 1 one is broken by something doubtful or worse that is not accepted;
2 something could not be read; 3 none is broken, but one is not decided.

Examples:
  limb hazards
  limb hazards wrist-reduction.limb
  limb hazards wrist-reduction.limb --markdown > hazards.md
`;

interface HazardsOptions {
  readonly protocol?: string;
  readonly json?: true;
  readonly markdown?: true;
  readonly on?: string;
  readonly workspace?: string;
}

export function define(command: Command, invocation: Invocation): void {
  command
    .argument("[file]", "the file with the protocol; without one, the log of the catalogue")
    .option("--protocol <name>", "the protocol to take, where the file has several")
    .addOption(new Option("--json", "print it as JSON").conflicts("markdown"))
    .option("--markdown", "print it as a page of Markdown")
    .option("--on <date>", "judge dates as on this day (today if not said)", dateArgument)
    .option("--workspace <folder>", "the folder whose files may use one another")
    .addHelpText("after", HELP)
    .action((file: string | undefined, options: HazardsOptions) => {
      const log = file === undefined ? hazardLog : logOf(file, options, invocation);
      invocation.output.write(shown(log, options, invocation));
      invocation.finish(exitCode(log));
    });
}

function logOf(named: string, options: HazardsOptions, invocation: Invocation): ProtocolHazardLog {
  const { on = invocation.today } = options;
  const make = (site: Site, file: string) => hazardLogsOf(site, file, { on });
  return makeOfOne(named, { ...options, subject: "a hazard log", nothing: "no hazard log", make }, invocation)
    .result;
}

function shown(log: HazardLog, { json, markdown }: HazardsOptions, { output }: Invocation): string {
  const { about, hazards } = log;
  if (json) return jsonText({ caution: CAUTION, ...about, hazards });
  if (markdown) return hazardMarkdown(log);
  return hazardText(log, { colour: output.hasColour, width: output.columns });
}

function exitCode({ hazards }: HazardLog): ExitCode {
  const standing = hazards.flatMap(({ guards }) => guards.flatMap(({ here }) => here ?? []));
  const counts = standing.some(
    (here) =>
      here.is === "broken" &&
      here.findings.some(({ severity, accepted }) => !accepted && isAtLeast(severity, "doubtful")),
  );
  if (counts) return 1;
  return standing.some((here) => openPointIn(here)) ? 3 : 0;
}
