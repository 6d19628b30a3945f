import { resolve } from "node:path";
import {
  type ComparisonReport,
  type ComparisonSection,
  comparisonJson,
  comparisonMarkdown,
  comparisonPage,
  comparisonSection,
  comparisonText,
  releaseNotes,
  type Unread,
  verdictOf,
} from "@limbwright/language";
import { type Command, Option } from "commander";
import { version } from "../package.json";
import { openVersion } from "../workspace/open-version.ts";
import { writeWhole } from "../workspace/write-whole.ts";
import { dateArgument } from "./arguments.ts";
import { compareVersions, withoutProtocol } from "./compare-versions.ts";
import { driveDiff } from "./diff-driver.ts";
import { type ExitCode, type Invocation, type Stream, tellTroubles } from "./surroundings.ts";

const HELP = `
OLD and NEW are each a file, a folder with all its .limb files, or REV:path in a Git repository: a file or a folder
as it was in a revision, with what it uses as it was then. \`REV:\` is all of it. What is on the disk wins. A file may
also be a rule file (.json), as it was approved: then its rules, their standard values and their answers of then are
compared, too. Protocols are compared by what they mean, not by their text: a change of the formulary or of local
rules shows in every protocol it touches.

  no longer safe  a rule finds something unsafe that it did not find before
  looser          something is allowed now that was not
  different       otherwise, and neither looser nor tighter can be said
  tighter         something is no longer allowed
  needs a reader  a text changed that only a person can judge
  wording         written otherwise, with the same meaning

Exit codes: 0 none of what follows; 1 something is no longer safe; or it is looser, or a drug, a concentration or an
order is another, and the version was not raised in its first number, also in a draft; 2 wrong usage, or something
could not be read or written; 3 nothing of that, but something could not be compared or is not decided, which is not
a pass.

server/cli/compare.md says how to use it with git diff and to check a merge.

Examples:
  limb compare approved/wrist-reduction.limb wrist-reduction.limb
  limb compare approved/wrist-reduction.json protocols/wrist-reduction.limb
  limb compare HEAD:protocols/wrist-reduction.limb protocols/wrist-reduction.limb
  limb compare v1.3: . --markdown
  limb compare v1.3: v1.4: --notes --out notes.txt
`;

interface CompareCommandOptions {
  readonly json?: true;
  readonly markdown?: true;
  readonly html?: true;
  readonly notes?: true;
  readonly out?: string;
  readonly protocol?: string;
  readonly on?: string;
  readonly verbose?: true;
  readonly workspace?: string;
  readonly diffDriver?: true;
}

const FORMS = ["json", "markdown", "html", "notes"] as const;

export function define(command: Command, invocation: Invocation): void {
  const form = (name: (typeof FORMS)[number], says: string) =>
    command.addOption(new Option(`--${name}`, says).conflicts(FORMS.filter((one) => one !== name)));
  command
    .usage("[options] <old> <new>")
    .argument("<versions...>", "the earlier and the new version: each a file, a folder, or REV:path");
  form("json", "print the comparison as JSON");
  form("markdown", "print it as Markdown, for a merge request");
  form(
    "html",
    "print it as one page of HTML: both versions side by side, with their doses and runs as pictures",
  );
  form("notes", "print notes in sentences for the people who use the protocols");
  command
    .option("--out <file>", "where to write it, whole or not at all (standard output if not said)")
    .option("--protocol <name>", "compare this protocol alone")
    .option("--on <date>", "judge dates as on this day (today if not said)", dateArgument)
    .option("--verbose", "tell runs line by line, and times that are the same")
    .option("--workspace <folder>", "the folder whose files may use one another, for versions on the disk")
    .addOption(
      new Option(
        "--diff-driver",
        "be the program that git diff calls, with the arguments it gives",
      ).conflicts([...FORMS, "out"]),
    )
    .addHelpText("after", HELP)
    .action((versions: string[], options: CompareCommandOptions) => {
      if (options.diffDriver) {
        driveDiff(versions, options, invocation);
        return;
      }
      const [before, now, ...more] = versions;
      if (before === undefined || now === undefined || more.length > 0) {
        command.error("error: name two versions, the earlier one first");
      } else invocation.finish(compare(before, now, options, invocation));
    });
}

function compare(
  before: string,
  now: string,
  options: CompareCommandOptions,
  invocation: Invocation,
): ExitCode {
  const { currentFolder, output } = invocation;
  const place = { workspace: options.workspace, currentFolder };
  const versions = { before: openVersion(before, place), now: openVersion(now, place) };
  const sections: ComparisonSection[] = [];
  const { report, troubles } = compareVersions(
    versions,
    {
      ...options,
      ...(options.html && { each: (one) => sections.push(comparisonSection(one, sections.length + 1)) }),
    },
    invocation,
  );
  if (report.comparison.protocols.length === 0 && troubles.length === 0) {
    throw withoutProtocol(versions, options.protocol);
  }
  tellTroubles(troubles, invocation);
  write(textOf(report, { options, unread: troubles, sections }, output), options.out, invocation);
  if (troubles.length > 0) return 2;
  return EXIT_CODES[verdictOf(report.comparison)];
}

const EXIT_CODES: Readonly<Record<ReturnType<typeof verdictOf>, ExitCode>> = {
  "no-longer-safe": 1,
  "not-raised": 1,
  "not-decided": 3,
  clear: 0,
};

interface Written {
  readonly options: CompareCommandOptions;
  readonly unread: readonly Unread[];
  readonly sections: readonly ComparisonSection[];
}

function textOf(report: ComparisonReport, { options, unread, sections }: Written, output: Stream): string {
  if (options.json) return comparisonJson({ ...report, version, unread });
  if (options.markdown) return comparisonMarkdown(report);
  if (options.notes) return releaseNotes(report);
  if (options.html) return comparisonPage(report, sections);
  const { hasColour, columns } = output;
  return comparisonText(report, {
    colour: hasColour && options.out === undefined,
    width: columns,
    verbose: options.verbose ?? false,
  });
}

function write(text: string, out: string | undefined, { currentFolder, output }: Invocation): void {
  if (out === undefined || out === "-") {
    output.write(text);
    return;
  }
  writeWhole(resolve(currentFolder, out), out, text);
  output.write(`Wrote ${out}\n`);
}
