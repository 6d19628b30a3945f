import { mkdirSync } from "node:fs";
import { dirname, join, relative, resolve } from "node:path";
import {
  compileFile,
  type FhirCompiled,
  fhirBundlesOf,
  type CompileOptions as LibraryOptions,
  type NotCoded,
  Site,
} from "@limbwright/language";
import { RULE_FILE_SUFFIX } from "@limbwright/shared/rule-file";
import { type Command, Option } from "commander";
import { type OpenedFiles, openFiles } from "../workspace/open-files.ts";
import { codeOf, keepTrouble, Trouble } from "../workspace/trouble.ts";
import { unwritable, writeWhole } from "../workspace/write-whole.ts";
import { dateArgument } from "./arguments.ts";
import { tellRefusal } from "./one-protocol.ts";
import { Progress } from "./progress.ts";
import { type ExitCode, type Invocation, jsonText, tellTroubles } from "./surroundings.ts";

const HELP = `
The rule file of a protocol is written beside it, as PROTOCOL.json; or as --out says; or, for many, into the
folder --into. It is written whole or not at all. A protocol is refused while an error or an unsafe finding
stands that no acceptance covers, while a rule whose breach would be unsafe is not decided and not answered by
local rules, or while words of the template are left; --draft writes it all the same, marked as a draft, with
its findings inside, but not while there are errors.

With --to fhir the same protocols are written, or refused, as Bundles of HL7 FHIR R4 (4.0.1), as PROTOCOL.fhir.json:
a PlanDefinition with an ActivityDefinition for each dose. What FHIR has no element for stands in words or is left
out; each Bundle lists it in its OperationOutcome, and so does --json. Not proven again by \`limb verify\`.

Exit codes: 0 all written; 1 a protocol was refused; 2 something could not be read or written.

Examples:
  limb compile wrist-reduction.limb
  limb compile wrist-reduction.limb --out - > wrist.json
  limb compile protocols --into compiled
  limb compile wrist-reduction.limb --to fhir
`;

interface Form {
  readonly suffix: string;
  readonly compile: (
    site: Site,
    file: string,
    options: LibraryOptions,
  ) => readonly FhirCompiled[] | undefined;
}

/** What is written, by the word after --to: how the files are called, and what makes them. */
const FORMS = {
  "rule-file": {
    suffix: RULE_FILE_SUFFIX,
    compile: (...given) =>
      compileFile(...given)?.map((one) => (one.kind === "written" ? { ...one, notCoded: [] } : one)),
  },
  fhir: { suffix: ".fhir.json", compile: fhirBundlesOf },
} as const satisfies Record<string, Form>;

interface CompileOptions {
  readonly out?: string;
  readonly into?: string;
  readonly to: keyof typeof FORMS;
  readonly draft?: true;
  readonly on?: string;
  readonly json?: true;
  readonly workspace?: string;
}

export function define(command: Command, invocation: Invocation): void {
  command
    .argument("<files...>", "files and folders with protocols")
    .option("--out <file>", "where to write the file of the one protocol; - is standard output")
    .addOption(new Option("--into <folder>", "the folder to write files into").conflicts("out"))
    .addOption(
      new Option("--to <form>", "what to write: rule files, or Bundles of HL7 FHIR R4")
        .choices(Object.keys(FORMS))
        .default("rule-file"),
    )
    .option("--draft", "write files marked as drafts, although something stands in the way")
    .option("--on <date>", "judge acceptances as on this day (today if not said)", dateArgument)
    .option("--json", "print what was done as JSON")
    .option("--workspace <folder>", "the folder whose files may use one another")
    .addHelpText("after", HELP)
    .action((named: string[], options: CompileOptions) => {
      invocation.finish(compileAll(named, options, invocation));
    });
}

/** What became of one protocol. */
type Done =
  | {
      readonly protocol: string;
      readonly written: string;
      readonly use: string;
      readonly meaning: string;
      readonly proof: string;
      /** What a Bundle has in words only, or not at all. */
      readonly notCoded?: readonly NotCoded[];
    }
  | { readonly protocol: string; readonly refused: string };

interface Work {
  readonly opened: OpenedFiles;
  readonly options: CompileOptions;
  readonly invocation: Invocation;
  readonly progress: Progress;
  /** The protocols written so far, by path. */
  readonly written: Map<string, string>;
}

function compileAll(names: readonly string[], options: CompileOptions, invocation: Invocation): ExitCode {
  const { currentFolder } = invocation;
  const opened = openFiles({ names, workspace: options.workspace, currentFolder });
  const progress = new Progress(invocation, "Compiled", opened.files.length);
  const work: Work = { opened, options, invocation, progress, written: new Map() };
  const site = new Site(opened.workspace.textOf);
  const done: Done[] = [];
  const troubles = [...opened.troubles];
  for (const file of opened.files) {
    keepTrouble(troubles, () => done.push(...compileOne(work, site, file)));
    site.forget(file);
    progress.step();
  }
  progress.clear();
  return tellDone(work, done, [...troubles, ...opened.workspace.troubles]);
}

function compileOne(work: Work, site: Site, file: string): Done[] {
  const { options, opened, invocation, progress } = work;
  const compiled = FORMS[options.to].compile(site, file, {
    on: options.on ?? invocation.today,
    draft: options.draft ?? false,
  });
  return (compiled ?? []).map((one) => {
    if (one.kind === "refused") {
      progress.clear();
      tellRefusal(one, opened.workspace, invocation);
      return { protocol: one.protocol, refused: one.because };
    }
    const { protocol, use, meaning, proof, notCoded } = one;
    const written = write(work, file, protocol, one.text);
    return { protocol, written, use, meaning, proof, ...(notCoded.length > 0 && { notCoded }) };
  });
}

/** Writes a rule file where the options say, and tells where that is. */
function write(work: Work, file: string, protocol: string, text: string): string {
  const { invocation, written } = work;
  const target = targetOf(work, file, protocol);
  const earlier = written.get(target.path);
  if (earlier !== undefined) throw nameTakenTrouble(target.name, protocol, earlier);
  written.set(target.path, protocol);
  if (target.path === "-") invocation.output.write(text);
  else writeWhole(target.path, target.name, text);
  return target.name;
}

function targetOf({ options, opened, invocation }: Work, file: string, protocol: string) {
  const { currentFolder } = invocation;
  if (options.out === "-") return { path: "-", name: "standard output" };
  if (options.out !== undefined) return { path: resolve(currentFolder, options.out), name: options.out };
  const beside = dirname(opened.workspace.pathOf(file));
  const folder =
    options.into === undefined ? beside : makeFolder(resolve(currentFolder, options.into), options.into);
  const path = join(folder, `${protocol}${FORMS[options.to].suffix}`);
  return { path, name: relative(currentFolder, path) };
}

function makeFolder(path: string, name: string): string {
  try {
    mkdirSync(path, { recursive: true });
    return path;
  } catch (error) {
    if (codeOf(error) !== "EEXIST") throw unwritable(name, error);
    const what = `${name} is a file, not a folder, so nothing can be written into it.`;
    const next = "Name a folder with --into; it is made if it is not there.";
    throw new Trouble({ file: name, what, next }, { cause: error });
  }
}

function nameTakenTrouble(name: string, protocol: string, earlier: string): Trouble {
  const isSame = protocol === earlier;
  return new Trouble({
    file: name,
    what: isSame
      ? `Two protocols are called ${protocol}; only the first was written to ${name}.`
      : `${protocol} was not written: ${name} holds ${earlier} already.`,
    next: isSame ? "Give each its own name." : "Write several protocols with --into FOLDER.",
  });
}

function tellDone(
  { options, invocation, opened }: Work,
  done: readonly Done[],
  troubles: readonly Trouble[],
): ExitCode {
  const all = done.length === 0 && troubles.length === 0 ? [nothingToCompile(opened)] : troubles;
  tellTroubles(all, invocation);
  const report = options.out === "-" ? invocation.messages : invocation.output;
  if (!options.json) for (const one of done) invocation.messages.write(notCodedText(one));
  report.write(options.json ? jsonText({ protocols: done, unread: all }) : done.map(doneText).join(""));
  if (all.length > 0) return 2;
  return done.some((one) => "refused" in one) ? 1 : 0;
}

function doneText(done: Done): string {
  if ("refused" in done) return "";
  const mark = done.use === "draft" ? ", a draft" : "";
  return `Wrote ${done.written}: ${done.protocol}${mark}, meaning ${done.meaning}\n`;
}

/** What a Bundle leaves out, line by line, and how much of it is in words only: nobody should take it for the whole. */
function notCodedText(done: Done): string {
  if ("refused" in done || !done.notCoded) return "";
  const leftOut = done.notCoded.filter(({ kept }) => kept === "left-out");
  const inWords = done.notCoded.length - leftOut.length;
  const lines = leftOut.map(({ part, what }) => `  ${part}: ${what}`);
  return [
    `${done.written}: FHIR has no element for these, so they are left out:`,
    ...lines,
    `  In words only, for people: ${inWords} more. Its OperationOutcome lists them all.`,
    "",
  ].join("\n");
}

function nothingToCompile({ files }: OpenedFiles): Trouble {
  const [file = "What was named"] = files;
  return new Trouble({
    file,
    what: files.length > 1 ? "None of the files declares a protocol." : `${file} declares no protocol.`,
    next: "Name a file with a protocol in it, for there is nothing to compile here.",
  });
}
