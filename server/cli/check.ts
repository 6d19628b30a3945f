import { existsSync } from "node:fs";
import { resolve } from "node:path";
import {
  checkFiles,
  type EarlierTexts,
  earlierVersions,
  jsonReport,
  type Report,
  Site,
  type Summary,
  Tally,
  textReport,
} from "@limbwright/language";
import { isAtLeast, SEVERITIES, type Severity } from "@limbwright/shared/finding";
import { type Command, Option } from "commander";
import { version } from "../package.json";
import { lastCommit } from "../workspace/last-commit.ts";
import { type OpenedFiles, openFiles } from "../workspace/open-files.ts";
import { openVersion } from "../workspace/open-version.ts";
import { readText } from "../workspace/read-text.ts";
import { Trouble } from "../workspace/trouble.ts";
import type { Workspace } from "../workspace/workspace.ts";
import { dateArgument } from "./arguments.ts";
import { Baseline } from "./baseline.ts";
import { giveInput } from "./give-input.ts";
import { Progress } from "./progress.ts";
import { type ExitCode, type Invocation, tellTroubles } from "./surroundings.ts";

const HELP = `
Reads files, and folders with all .limb files below them; - is standard input. What a file uses is read
from the workspace: the folder of --workspace, else the current folder if the file lies in it, else the
file's own folder. Nothing outside the workspace is read.

A baseline is what an earlier \`limb check --json\` wrote. With --since, findings it has are not shown.

In a Git repository the rule \`version-not-raised\` compares each protocol that is no draft and says otherwise than in the
last commit with what it said there; that takes three to five times as long. --against names another earlier version: a
folder, a file, a rule file, or REV:path, where \`main:\` is all of a branch. With --no-against that rule is not judged.

With --faults each protocol is also followed with one fault in each run: a cuff leaks, a step is skipped,
done twice, changed with the next, done on the other cuff, or the drug goes into another limb's line.

That an acceptance in local rules names a protocol that does not exist is found only when the whole
workspace is checked, because only then is every protocol known.

Exit codes: 0 nothing found; 1 findings at or above --severity; 2 wrong usage, or something could not be
read; 3 nothing found, but rules are not decided.

Examples:
  limb check wrist-reduction.limb
  limb check protocols --severity unsafe --on 2027-01-31
  limb check wrist-reduction.limb --faults
  limb check protocols --against main:
  limb check --json > baseline.json && limb check --since baseline.json
`;

interface CheckOptions {
  readonly on?: string;
  readonly since?: string;
  /** `false`: with none. */
  readonly against?: string | false;
  readonly severity: Severity;
  readonly json?: true;
  readonly sarif?: true;
  readonly workspace?: string;
  readonly verbose?: true;
  readonly faults?: true;
}

export function define(command: Command, invocation: Invocation): void {
  command
    .argument("[files...]", "files and folders to check (the current folder if none is named)")
    .option("--on <date>", "judge dates as on this day (today if not said)", dateArgument)
    .option("--since <baseline>", "show only findings that this baseline does not have")
    .option(
      "--against <version>",
      "judge whether versions were raised enough since this one: a folder, or REV:path (the last commit if not said)",
    )
    .option("--no-against", "do not judge whether versions were raised")
    .addOption(
      new Option("--severity <least>", "the least severity that makes the exit code 1")
        .choices(SEVERITIES)
        .default("doubtful"),
    )
    .addOption(new Option("--json", "print findings and verdicts as JSON").conflicts("sarif"))
    .option("--sarif", "print findings as SARIF 2.1.0")
    .option("--faults", "add a table of what one fault (a leak, a slip of the hand) does to each rule")
    .option("--workspace <folder>", "the folder whose files may use one another")
    .option(
      "--verbose",
      "tell runs line by line; name every rule that is not decided and every text that is not judged",
    )
    .addHelpText("after", HELP)
    .action(async (named: string[], options: CheckOptions) => {
      invocation.finish(await check(named.length > 0 ? named : ["."], options, invocation));
    });
}

async function check(
  names: readonly string[],
  options: CheckOptions,
  invocation: Invocation,
): Promise<ExitCode> {
  const { currentFolder } = invocation;
  const opened = openFiles({ names, workspace: options.workspace, currentFolder });
  const { workspace, files } = opened;
  const baseline = options.since === undefined ? undefined : openBaseline(options.since, invocation);
  giveInput(opened, invocation);
  const on = options.on ?? invocation.today;
  const site = new Site(workspace.textOf);
  const against = earlierVersion(options.against, { ...opened, site }, invocation);
  const report = await reportFor(options, on, workspace, invocation);
  const progress = new Progress(invocation, "Checked", files.length);
  const tally = new Tally();
  const write = (text: string) => {
    if (text === "") return;
    progress.clear();
    invocation.output.write(text);
  };
  write(report.start());
  for (const whole of checkFiles(site, files, {
    on,
    isWholeWorkspace: opened.isWhole,
    ...(against && { earlierVersions: earlierVersions(against.texts, site) }),
  })) {
    const shown = baseline ? baseline.onlyNew(whole) : whole;
    tally.add(shown);
    write(report.file(shown));
    progress.step();
  }
  progress.clear();
  const summary = tally.summary();
  const troubles = [...troublesOf(opened, summary), ...(against?.troubles() ?? [])];
  tellTroubles(troubles, invocation);
  const isForPrograms = options.json || options.sarif;
  if (summary.files > 0 || isForPrograms) {
    write(report.end({ summary, unread: troubles, ...(baseline && { known: baseline.known }) }));
  }
  return exitCode(summary, options.severity, troubles.length > 0);
}

async function reportFor(
  options: CheckOptions,
  on: string,
  { textOf }: Workspace,
  { output }: Invocation,
): Promise<Report> {
  if (options.json)
    return jsonReport({ version, on, onlyNew: options.since !== undefined, faults: options.faults ?? false });
  if (options.sarif) {
    const { sarifReport } = await import("@limbwright/language/sarif");
    return sarifReport({ version });
  }
  return textReport({
    colour: output.hasColour,
    width: output.columns,
    textOf,
    verbose: options.verbose ?? false,
    faults: options.faults ?? false,
    on,
  });
}

/** The version that protocols are compared with. Throws `Trouble` where one was asked for and there is none. */
function earlierVersion(
  named: CheckOptions["against"],
  { workspace, files: checked, site: now }: OpenedFiles & { readonly site: Site },
  { currentFolder }: Invocation,
): { readonly texts: EarlierTexts; readonly troubles: () => readonly Trouble[] } | undefined {
  if (named === false) return undefined;
  const isDeclared = (name: string) =>
    checked.some((file) => now.file(file)?.protocols.some((protocol) => protocol.name === name));
  const isGone = (file: string, names: readonly string[]) =>
    !existsSync(workspace.pathOf(file)) && !names.every(isDeclared);
  if (named === undefined) {
    const texts = lastCommit(workspace.root);
    return texts && { texts: { ...texts, isGone }, troubles: () => [] };
  }
  const { site, textOf, troubles } = openVersion(named, { workspace: undefined, currentFolder });
  const { name, files, compiled } = site;
  return {
    texts: {
      ...{ name, key: named, textOf },
      files: () => files,
      holds: (file) => files.includes(file),
      ...(compiled && { compiled }),
      isGone,
    },
    troubles,
  };
}

function openBaseline(named: string, { currentFolder }: Invocation): Baseline {
  return new Baseline(readText(resolve(currentFolder, named), named, Number.POSITIVE_INFINITY), named);
}

/** All that stood in the way, in the order it was met. A folder is named for its protocols. */
function troublesOf({ troubles, workspace, folders }: OpenedFiles, summary: Summary): Trouble[] {
  const all = [...troubles, ...workspace.troubles];
  const [folder] = folders;
  if (folder === undefined || summary.protocols > 0 || summary.files === 0) return all;
  const noProtocol = new Trouble({
    file: folder,
    what: `No file in the folder ${folder} declares a protocol; only what protocols share was checked.`,
    next: "Name a folder that holds protocols, or start one with `limb new NAME`.",
  });
  return [...all, noProtocol];
}

function exitCode(summary: Summary, least: Severity, isIncomplete: boolean): ExitCode {
  if (isIncomplete) return 2;
  const counts = SEVERITIES.some(
    (severity) => isAtLeast(severity, least) && summary.bySeverity[severity] > 0,
  );
  if (counts) return 1;
  return summary.notDecided > 0 ? 3 : 0;
}
