import { resolve } from "node:path";
import {
  caseText,
  type ReplayedFile,
  ReplayTally,
  type ReplayTextOptions,
  replayEndText,
  replayFileText,
  replayHeadText,
  replayJsonCase,
  replayJsonEnd,
  replayJsonStart,
} from "@limbwright/language/replay-report";
import type { CaseReport, RecordSummary } from "@limbwright/shared/replay";
import { MOST_RULE_FILE_BYTES, type RuleFile } from "@limbwright/shared/rule-file";
import { type AgainstFile, againstFile } from "@limbwright/shared/runtime";
import { type Command, InvalidArgumentError } from "commander";
import { version } from "../package.json";
import { readText } from "../workspace/read-text.ts";
import { Trouble } from "../workspace/trouble.ts";
import { Progress } from "./progress.ts";
import { type RecordFile, recordFiles } from "./replay/record-files.ts";
import { judgeBy, replayFile } from "./replay/replay-file.ts";
import { type ExitCode, type Invocation, tellTroubles } from "./surroundings.ts";

const HELP = `
A case record is CSV with a header, or JSON lines; a row has the columns case, time, event and value. Times are ISO 8601
with a zone, HH:MM:SS, M:SS or seconds. Columns that say who somebody is are dropped. A row that cannot be read is
counted, with its line; of its case not everything is judged then. shared/replay/case-records.md tells all of it.

A case is followed as it really went on: what follows from a slip is told with it, and is no deviation of its own. What
comes before its time is too early, however little; what comes after it is too late when it is more than --grace. A case
that the record does not let us judge is "not judged", never "as the protocol says".

What stands against following the protocol on the day of a case (its review was overdue, an acceptance had ended, it was not approved
yet) is told with how many cases it was so in; cases whose times have no date count for the day of the replay.

Exit codes: 0 every case is as the protocol says; 1 there are deviations; 2 wrong usage, or something could not be
read; 3 no deviation, but something is not judged, which is not a pass.

Examples:
  limb replay cases/monday.csv --protocol wrist-reduction.limb
  limb replay cases --protocol wrist-reduction.json --json > report.json
`;

const MEGABYTE = 1_000_000;
const PIECE = 1 << 16;

interface ReplayOptions {
  readonly protocol: string;
  readonly named?: string;
  readonly grace: number;
  readonly json?: true;
  readonly verbose?: true;
  readonly workspace?: string;
}

export function define(command: Command, invocation: Invocation): void {
  command
    .argument("<cases...>", "case records: files, folders of them, or - for standard input")
    .requiredOption("--protocol <file>", "the protocol, as .limb or as a rule file")
    .option("--named <name>", "the protocol to take, where the file has several")
    .option("--grace <seconds>", "so long after its time nothing is called late", wholeNumber, 30)
    .option("--json", "print the report as JSON")
    .option("--verbose", "show every case, and what was noted about its rows")
    .option("--workspace <folder>", "the folder whose files may use one another")
    .addHelpText("after", HELP)
    .action(async (cases: string[], options: ReplayOptions) => {
      invocation.finish(await replay(cases, options, invocation));
    });
}

function wholeNumber(written: string): number {
  if (/^\d{1,6}$/.test(written)) return Number(written);
  throw new InvalidArgumentError("Write a whole number.");
}

async function replay(
  names: readonly string[],
  options: ReplayOptions,
  invocation: Invocation,
): Promise<ExitCode> {
  const { grace } = options;
  const ruleFile = await ruleFileOf(options, invocation);
  const judge = judgeBy(ruleFile, options.protocol, { grace });
  const { files, troubles } = recordFiles(names, invocation.currentFolder);
  const megabytes = files.reduce((sum, { bytes }) => sum + bytes, 0) / MEGABYTE;
  const progress = new Progress(invocation, "Replayed", megabytes, "MB");
  const writer = new ReportWriter(invocation, options, progress, judge.file);
  writer.start(judge.file);
  for (const trouble of troubles) writer.trouble(trouble);
  for (const file of files) writer.file(file.name, replayOne(file));
  return writer.end();

  function replayOne(file: RecordFile): RecordSummary | Trouble {
    try {
      return replayFile(judge, file, {
        onCase: (report) => writer.case(file.name, report),
        onBytes: (bytes) => progress.step(bytes / MEGABYTE),
        ...(file.path === "-" && { input: () => invocation.input(PIECE) }),
      });
    } catch (error) {
      if (error instanceof Trouble) return error;
      throw error;
    }
  }
}

/** The text of the rule file: as it was given, or compiled of a protocol, also of one that is a draft. */
async function ruleFileOf({ protocol, ...asked }: ReplayOptions, invocation: Invocation): Promise<string> {
  if (!protocol.endsWith(".limb")) {
    return readText(resolve(invocation.currentFolder, protocol), protocol, MOST_RULE_FILE_BYTES);
  }
  // The compiler takes longer to start than a small record to replay.
  const { compileText } = await import("./replay/compiled-text.ts");
  return compileText(protocol, asked, invocation);
}

/** What stands against a protocol on the days of cases, each of which is asked once. */
class AgainstProtocol {
  readonly #file: RuleFile;
  readonly #name: string;
  readonly #onDays = new Map<string, readonly AgainstFile[]>();

  constructor(file: RuleFile, name: string) {
    this.#file = file;
    this.#name = name;
  }

  /** Of a protocol that is compiled here only to be held against cases, not that this was done as a draft. */
  on(day: string): readonly AgainstFile[] {
    const known = this.#onDays.get(day);
    if (known) return known;
    const found = againstFile(this.#file, { on: day }).filter(
      ({ kind }) => kind !== "draft" || !this.#name.endsWith(".limb"),
    );
    this.#onDays.set(day, found);
    return found;
  }
}

function dependsOnDay(one: AgainstFile): boolean {
  return one.kind !== "no-day" && one.byDay;
}

/** Writes the report as it comes, and knows at the end with which code to exit. */
class ReportWriter {
  readonly #invocation: Invocation;
  readonly #options: ReplayOptions;
  readonly #progress: Progress;
  readonly #layout: ReplayTextOptions;
  readonly #tally = new ReplayTally();
  readonly #files: ReplayedFile[] = [];
  readonly #troubles: Trouble[] = [];
  readonly #against: AgainstProtocol;
  #kept: string[] = [];

  constructor(invocation: Invocation, options: ReplayOptions, progress: Progress, file: RuleFile) {
    this.#against = new AgainstProtocol(file, options.protocol);
    this.#invocation = invocation;
    this.#options = options;
    this.#progress = progress;
    this.#layout = { width: invocation.output.columns, verbose: options.verbose ?? false };
  }

  start(file: RuleFile): void {
    const { protocol, digests } = file;
    const { json, grace } = this.#options;
    const { today: on } = this.#invocation;
    const against = this.#against.on(on).filter((one) => !dependsOnDay(one));
    const head = { name: protocol.name, version: protocol.version, meaning: digests.meaning };
    this.#write(
      json
        ? replayJsonStart({ version, protocol: head, graceSeconds: grace, against, on })
        : replayHeadText(against, this.#layout),
    );
  }

  case(file: string, report: CaseReport): void {
    const isFirst = this.#tally.cases === 0;
    const against = this.#againstCase(report);
    this.#tally.addCase(report, against);
    this.#write(
      this.#options.json
        ? replayJsonCase(file, report, against, isFirst)
        : caseText(file, report, against, this.#layout),
    );
  }

  /** By the day of the case, or of the replay where it has none; nothing of a case that was not followed. */
  #againstCase({ day, events }: CaseReport): readonly AgainstFile[] {
    return events === 0 ? [] : this.#against.on(day ?? this.#invocation.today).filter(dependsOnDay);
  }

  file(name: string, ended: RecordSummary | Trouble): void {
    if (ended instanceof Trouble) {
      this.trouble(ended);
      return;
    }
    const file = { file: name, ...ended };
    this.#tally.addFile(file);
    this.#files.push(file);
    if (!this.#options.json) this.#write(replayFileText(file, this.#layout));
  }

  trouble(trouble: Trouble): void {
    this.#troubles.push(trouble);
  }

  end(): ExitCode {
    this.#write(
      this.#options.json
        ? replayJsonEnd(this.#tally, this.#files, this.#troubles)
        : replayEndText(this.#tally, { files: this.#files.length, on: this.#invocation.today }, this.#layout),
    );
    this.#flush();
    this.#progress.clear();
    tellTroubles(this.#troubles, this.#invocation);
    if (this.#troubles.length > 0) return 2;
    if (this.#tally.outcomes.deviates > 0) return 1;
    return this.#tally.partlyJudged > 0 || this.#isAnyRowUnread() ? 3 : 0;
  }

  /** Rows that belong to no case that is known may be what a case lacks. */
  #isAnyRowUnread(): boolean {
    const lost = new Set(["no-case", "broken-row", "cut-off-row", "not-utf-8", "came-late"]);
    return this.#files.some(({ notes }) => notes.some(({ kind }) => lost.has(kind)));
  }

  /** A write for each case would take longer than the case. */
  #write(text: string): void {
    if (text === "") return;
    this.#kept.push(text);
    if (this.#kept.length > 200) this.#flush();
  }

  #flush(): void {
    if (this.#kept.length === 0) return;
    this.#progress.clear();
    this.#invocation.output.write(this.#kept.join(""));
    this.#kept = [];
  }
}
