import {
  type FileScenarios,
  type ScenarioTally,
  Site,
  scenarioEndText,
  scenarioResults,
  scenariosJson,
  scenariosText,
  scenarioTally,
} from "@limbwright/language";
import type { Command } from "commander";
import { version } from "../package.json";
import { type OpenedFiles, openFiles } from "../workspace/open-files.ts";
import { Trouble } from "../workspace/trouble.ts";
import { Progress } from "./progress.ts";
import type { ExitCode, Invocation } from "./surroundings.ts";

const HELP = `
A scenario takes one patient through a protocol and says what is expected on the way. Between its lines each
step takes its shortest time; a task without a longest time, and a question, wait until the scenario says so.
A scenario can be run while findings stand, but not while there are errors. That scenarios pass proves
nothing of other patients and other runs: \`limb check\` does.

Exit codes: 0 all passed; 1 one failed; 2 wrong usage, no scenario, or something could not be read; 3 none
failed, but something is not decided, which is not a pass.

Examples:
  limb test scenarios
  limb test scenarios/wrist-reduction.limb --verbose
  limb test --json > results.json
`;

interface TestOptions {
  readonly json?: true;
  readonly verbose?: true;
  readonly workspace?: string;
}

export function define(command: Command, invocation: Invocation): void {
  command
    .argument("[files...]", "files and folders with scenarios (the current folder if none is named)")
    .option("--json", "print the results as JSON")
    .option("--verbose", "show what passed, too, and tell runs line by line")
    .option("--workspace <folder>", "the folder whose files may use one another")
    .addHelpText("after", HELP)
    .action((named: string[], options: TestOptions) => {
      invocation.finish(testAll(named.length > 0 ? named : ["."], options, invocation));
    });
}

function testAll(names: readonly string[], options: TestOptions, invocation: Invocation): ExitCode {
  const { currentFolder, today, output, messages } = invocation;
  const opened = openFiles({ names, workspace: options.workspace, currentFolder });
  const { workspace, files } = opened;
  const layout = {
    colour: output.hasColour,
    width: output.columns,
    textOf: workspace.textOf,
    verbose: options.verbose ?? false,
  };
  const progress = new Progress(invocation, "Tested", files.length);
  const site = new Site(workspace.textOf);
  const tested: FileScenarios[] = [];
  let isParagraphOpen = false;
  for (const file of files) {
    const results = scenarioResults(site, file, { on: today });
    site.forget(file);
    progress.step();
    if (!results) continue;
    tested.push(results);
    const text = options.json ? "" : scenariosText(results, layout);
    if (text === "") continue;
    progress.clear();
    output.write(text);
    isParagraphOpen = !text.endsWith("\n\n");
  }
  progress.clear();
  const tally = scenarioTally(tested);
  const troubles = troublesOf(opened, tally);
  for (const { what, next } of troubles) messages.write(`limb: ${what} ${next}\n`);
  if (options.json) {
    const unread = troubles.map((trouble) => trouble.toUnread());
    output.write(scenariosJson({ version, on: today, files: tested, tally, unread }));
  } else if (tally.files > 0 || tally.withErrors > 0)
    output.write(`${isParagraphOpen ? "\n" : ""}${scenarioEndText(tally, layout)}`);
  return exitCode(tally, troubles.length > 0);
}

function troublesOf({ troubles, workspace, files }: OpenedFiles, tally: ScenarioTally): Trouble[] {
  const all = [...troubles, ...workspace.troubles];
  if (all.length > 0 || tally.files > 0 || tally.withErrors > 0) return all;
  const [file = "What was named"] = files;
  return [
    new Trouble({
      file,
      what: files.length > 1 ? "None of the files has a scenario." : `${file} has no scenario.`,
      next: "Name a file that has one, or write one: it begins with `scenario`.",
    }),
  ];
}

function exitCode({ byOutcome, withErrors }: ScenarioTally, isIncomplete: boolean): ExitCode {
  if (isIncomplete) return 2;
  if (byOutcome.failed > 0) return 1;
  return byOutcome["not-decided"] > 0 || withErrors > 0 ? 3 : 0;
}
