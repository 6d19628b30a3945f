import { existsSync, rmSync } from "node:fs";
import { dirname, join, relative, resolve, sep } from "node:path";
import {
  checkFiles,
  FORMULARY_TEMPLATE,
  protocolTemplate,
  Site,
  TEMPLATE_PLACES,
  type TemplatePlace,
} from "@limbwright/language";
import { PROTOCOL_NAME, titleOf } from "@limbwright/shared/editor";
import type { Finding } from "@limbwright/shared/finding";
import { type Command, InvalidArgumentError, Option } from "commander";
import { SUFFIX } from "../workspace/find-files.ts";
import { yearAfter } from "../workspace/local-date.ts";
import { Trouble } from "../workspace/trouble.ts";
import { Workspace, workspaceRoot } from "../workspace/workspace.ts";
import { writeWhole } from "../workspace/write-whole.ts";
import { type Invocation, jsonText } from "./surroundings.ts";

const HELP = `
The new protocol uses the formulary that --formulary names, else the file formulary.limb beside it, which is
written if it is not there yet. No file that exists is changed. Go through every line of the template: each
number is yours to decide.

Examples:
  limb new wrist-reduction
  limb new ankle-reduction --place ankle --out protocols/ankle-reduction.limb --formulary formulary.limb
`;

interface NewOptions {
  readonly place: TemplatePlace;
  readonly title?: string;
  readonly out?: string;
  readonly formulary?: string;
  readonly json?: true;
}

export function define(command: Command, invocation: Invocation): void {
  command
    .argument("<name>", "the protocol's name: lower case, words joined by hyphens", nameArgument)
    .addOption(
      new Option("--place <place>", "where the cuffs sit").choices(TEMPLATE_PLACES).default("upper-arm"),
    )
    .option("--title <words>", "the title (made from the name if not said)", titleArgument)
    .option("--out <file>", "the file to write (NAME.limb if not said)")
    .option("--formulary <file>", "the file that holds the agents")
    .option("--json", "print what was written as JSON")
    .addHelpText("after", HELP)
    .action((name: string, options: NewOptions) => {
      invocation.output.write(start(name, options, invocation));
      invocation.finish(0);
    });
}

function nameArgument(written: string): string {
  if (PROTOCOL_NAME.test(written)) return written;
  throw new InvalidArgumentError(
    "Write it in lower case, with hyphens between words, such as wrist-reduction.",
  );
}

function titleArgument(written: string): string {
  if (!/["\\\r\n]/.test(written)) return written;
  throw new InvalidArgumentError("A title holds no quotes, backslashes or line ends.");
}

/** What is to be written: paths on the disk, and how the user knows them. */
interface Plan {
  readonly path: string;
  readonly text: string;
  readonly formulary: string;
  readonly writesFormulary: boolean;
  readonly shown: (path: string) => string;
}

function start(name: string, options: NewOptions, invocation: Invocation): string {
  const plan = planFiles(name, options, invocation);
  refuseErrors(plan, invocation);
  const { path, text, formulary, writesFormulary, shown } = plan;
  if (writesFormulary) writeWhole(formulary, shown(formulary), FORMULARY_TEMPLATE);
  try {
    writeWhole(path, shown(path), text);
  } catch (error) {
    if (writesFormulary) rmSync(formulary, { force: true });
    throw error;
  }
  const written = writesFormulary ? [path, formulary].map(shown) : [shown(path)];
  if (options.json) return jsonText({ protocol: name, written });
  return `Wrote ${written.join(" and ")}.\nGo through every line: each number and text is yours to decide. Then: limb check ${shown(path)}\n`;
}

function planFiles(name: string, options: NewOptions, { currentFolder, today }: Invocation): Plan {
  const path = resolve(currentFolder, options.out ?? `${name}${SUFFIX}`);
  const nameFromHere = (of: string) => relative(currentFolder, of) || of;
  if (existsSync(path)) {
    throw new Trouble({
      file: nameFromHere(path),
      what: `${nameFromHere(path)} is there already, and is left as it is.`,
      next: "Choose another name, or another file with --out.",
    });
  }
  const formulary = resolve(currentFolder, options.formulary ?? join(dirname(path), "formulary.limb"));
  const isThere = existsSync(formulary);
  if (options.formulary !== undefined && !isThere) {
    throw new Trouble({
      file: options.formulary,
      what: `The formulary ${options.formulary} does not exist.`,
      next: "Check the spelling; without --formulary a new one is written beside the protocol.",
    });
  }
  const text = protocolTemplate({
    name,
    title: options.title ?? titleOf(name),
    place: options.place,
    formulary: relative(dirname(path), formulary).split(sep).join("/"),
    reviewBy: yearAfter(today),
  });
  return { path, text, formulary, writesFormulary: !isThere, shown: nameFromHere };
}

/** The template with this formulary, before anything is written: an agent or a concentration may be missing there. */
function refuseErrors({ path, text, formulary, writesFormulary, shown }: Plan, invocation: Invocation): void {
  const workspace = new Workspace(workspaceRoot(undefined, invocation.currentFolder, [path, formulary]));
  workspace.give(workspace.nameOf(path), text);
  if (writesFormulary) workspace.give(workspace.nameOf(formulary), FORMULARY_TEMPLATE);
  const checks = [
    ...checkFiles(new Site(workspace.textOf), [workspace.nameOf(path)], { on: invocation.today }),
  ];
  const [unread] = workspace.troubles;
  if (unread) throw unread;
  const errors = checks.flatMap(({ findings }) => findings.filter(({ severity }) => severity === "error"));
  const [first] = errors;
  if (first) throw doesNotFit(first, shown(formulary));
}

function doesNotFit({ what, origin }: Finding, formulary: string): Trouble {
  return new Trouble({
    file: formulary,
    what: `With the formulary ${formulary} the template would have errors, so nothing is written. ${what} (${origin.file}:${origin.start.line})`,
    next: "Mend the formulary, or leave --formulary out and write into a folder of its own.",
  });
}
