import { resolve } from "node:path";
import {
  coverageText,
  type FileScenarios,
  type ScenarioTally,
  type ScenarioTextOptions,
  Site,
  scenarioEndText,
  scenarioResults,
  scenariosJson,
  scenariosJunit,
  scenariosText,
  scenarioTally,
  togetherCovered,
} from "@limbwright/language";
import type { Command } from "commander";
import { version } from "../package.json";
import { type OpenedFiles, openFiles } from "../workspace/open-files.ts";
import { Trouble } from "../workspace/trouble.ts";
import { writeWhole } from "../workspace/write-whole.ts";
import { dateArgument } from "./arguments.ts";
import { giveInput } from "./give-input.ts";
import { Progress } from "./progress.ts";
import { type ExitCode, type Invocation, tellTroubles } from "./surroundings.ts";

const HELP = `
A scenario takes one patient through a protocol and says what is expected on the way. Between its lines each
step takes its shortest time; a task without a longest time, and a question, wait until the scenario says so.
A scenario can be run while findings stand, but not while there are errors. That scenarios pass proves
nothing of other patients and other runs: \`limb check\` does.

What no scenario touches is named: steps and answers that none comes to, handlers that none enters, and rules
by which no expectation says that a step is refused; a few of each, or all with --verbose.

In JUnit XML a scenario that failed is a failure, and one that is not decided an error.

Exit codes: 0 all passed; 1 one failed; 2 wrong usage, no scenario, or something could not be read; 3 none
failed, but something is not decided, which is not a pass.

Examples:
  limb test scenarios
  limb test scenarios/wrist-reduction.limb --verbose
  limb test --json > results.json
  limb test scenarios --junit results.xml
`;

interface TestOptions {
  readonly on?: string;
  readonly json?: true;
  readonly junit?: string;
  readonly verbose?: true;
  readonly workspace?: string;
}

export function define(command: Command, invocation: Invocation): void {
  command
    .argument(
      "[files...]",
      "files and folders with scenarios; - is standard input (the current folder if none is named)",
    )
    .option("--on <date>", "judge dates as on this day (today if not said)", dateArgument)
    .option("--json", "print the results as JSON")
    .option("--junit <file>", "also write the results as JUnit XML, for continuous integration")
    .option("--verbose", "show what passed, too; tell runs line by line; name all that no scenario touches")
    .option("--workspace <folder>", "the folder whose files may use one another")
    .addHelpText("after", HELP)
    .action((named: string[], options: TestOptions) => {
      invocation.finish(testAll(named.length > 0 ? named : ["."], options, invocation));
    });
}

function testAll(names: readonly string[], options: TestOptions, invocation: Invocation): ExitCode {
  const { currentFolder, output } = invocation;
  const on = options.on ?? invocation.today;
  const opened = openFiles({ names, workspace: options.workspace, currentFolder });
  giveInput(opened, invocation);
  const { textOf } = opened.workspace;
  const { hasColour: colour, columns: width } = output;
  const layout = { colour, width, textOf, verbose: options.verbose ?? false };
  const writer = new TextWriter(invocation, options.json ? undefined : layout);
  const files = runAll(opened, writer, { on, invocation });
  const tally = scenarioTally(files);
  const coverage = togetherCovered(files.flatMap((file) => file.coverage));
  const troubles = troublesOf(opened, tally);
  tellTroubles(troubles, invocation);
  if (options.json) output.write(scenariosJson({ version, on, files, tally, coverage, unread: troubles }));
  else if (tally.files > 0 || tally.withErrors > 0) {
    writer.end(`${coverageText(coverage, layout)}${scenarioEndText(tally, layout)}`);
  }
  if (options.junit !== undefined) {
    const xml = scenariosJunit(files, { textOf, unread: troubles });
    writeWhole(resolve(currentFolder, options.junit), options.junit, xml);
  }
  return exitCode(tally, troubles.length > 0);
}

/** Runs file after file; each is written as soon as it is through. */
function runAll(
  { workspace, files }: OpenedFiles,
  writer: TextWriter,
  { on, invocation }: { readonly on: string; readonly invocation: Invocation },
): FileScenarios[] {
  const progress = new Progress(invocation, "Tested", files.length);
  const site = new Site(workspace.textOf);
  const all = files.flatMap((file) => {
    const results = scenarioResults(site, file, { on });
    site.forget(file);
    progress.step();
    if (!results) return [];
    writer.file(results, progress);
    return [results];
  });
  progress.clear();
  return all;
}

/** Writes what a reader sees, with an empty line before what stands for itself. */
class TextWriter {
  readonly #output: Invocation["output"];
  readonly #layout: ScenarioTextOptions | undefined;
  #isParagraphOpen = false;

  constructor({ output }: Invocation, layout: ScenarioTextOptions | undefined) {
    this.#output = output;
    this.#layout = layout;
  }

  file(results: FileScenarios, progress: Progress): void {
    const text = this.#layout ? scenariosText(results, this.#layout) : "";
    if (text === "") return;
    progress.clear();
    this.#output.write(text);
    this.#isParagraphOpen = !text.endsWith("\n\n");
  }

  end(text: string): void {
    this.#output.write(`${this.#isParagraphOpen ? "\n" : ""}${text}`);
  }
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
