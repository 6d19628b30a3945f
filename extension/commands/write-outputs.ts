import { COMPILE, type Output, type OutputAsked, SHEETS } from "@limbwright/shared/editor";
import { commands, env, ProgressLocation, Uri, window, workspace } from "vscode";
import { type Command, findText, type Limbwright } from "./command.ts";

/** An output of protocols: how it is asked for, and what a person calls it. */
interface OutputKind {
  readonly called: string;
  readonly ask: (text: Uri, draft: boolean) => Promise<readonly Output[] | null>;
  readonly show: (file: Uri) => Thenable<unknown>;
}

/** Writes the rule file of each protocol beside its text. */
export const compile = outputCommand("limbwright.compile", "rule file", ({ client }) => ({
  ask: (text, draft) => {
    const asked: OutputAsked = { uri: text.toString(), draft };
    return client.sendRequest(COMPILE, asked);
  },
  show: (file) => window.showTextDocument(file),
}));

/** Writes the bedside sheet of each protocol beside its text, as a page that prints. */
export const saveSheet = outputCommand("limbwright.saveSheet", "sheet", ({ client }) => ({
  ask: (text, draft) => {
    const asked: OutputAsked = { uri: text.toString(), draft };
    return client.sendRequest(SHEETS, asked);
  },
  show: showPage,
}));

/** The page in a browser, where it lies on a disk; else its text. */
async function showPage(file: Uri): Promise<unknown> {
  return file.scheme === "file" && (await env.openExternal(file)) ? undefined : window.showTextDocument(file);
}

function outputCommand(
  id: string,
  called: string,
  kindFor: (limbwright: Limbwright) => Omit<OutputKind, "called">,
): Command {
  return {
    id,
    writes: `a ${called}`,
    run: async (limbwright, ...given) => {
      const text = findText(given);
      if (text) await writeOutputs(text, { called, ...kindFor(limbwright) });
    },
  };
}

const DRAFT = "Write a draft";
const PROBLEMS = "Show the problems";
const SHOW = "Open it";

/** Writes an output of every protocol of a text beside it, each whole or not at all, and says what became of each. */
async function writeOutputs(text: Uri, kind: OutputKind, draft = false): Promise<unknown> {
  if (text.scheme === "untitled") {
    const words = `Save this text into a file first: the ${kind.called} is written beside it.`;
    return window.showInformationMessage(words);
  }
  const title = `Limbwright: preparing the ${kind.called}`;
  const outputs = await window.withProgress({ location: ProgressLocation.Window, title }, () =>
    kind.ask(text, draft),
  );
  if (!outputs || outputs.length === 0) {
    const words = `This file declares no protocol, so there is no ${kind.called} of it.`;
    return window.showInformationMessage(words);
  }
  const told: Promise<void>[] = [];
  for (const output of outputs) {
    const tell =
      output.kind === "written" ? await writeOutput(text, kind, output) : offerDraft(text, kind, output);
    told.push(tell());
  }
  return Promise.all(told);
}

type Written = Extract<Output, { readonly kind: "written" }>;
type Refused = Extract<Output, { readonly kind: "refused" }>;

async function writeOutput(text: Uri, kind: OutputKind, output: Written): Promise<() => Promise<void>> {
  const file = Uri.joinPath(text, "..", output.name);
  await workspace.fs.writeFile(file, new TextEncoder().encode(output.text));
  return async () => {
    const words = `Wrote ${workspace.asRelativePath(file)}: ${output.protocol}, meaning ${output.meaning.slice(0, 19)}…`;
    if ((await window.showInformationMessage(words, SHOW)) === SHOW) await kind.show(file);
  };
}

/** A draft is offered only where no error stands in the way: an error stops a draft too. */
function offerDraft(text: Uri, kind: OutputKind, { because, findings, open }: Refused): () => Promise<void> {
  return async () => {
    const standsInTheWay = findings.length + open.length > 0;
    const canBeDraft = standsInTheWay && findings.every(({ severity }) => severity !== "error");
    const offers = canBeDraft ? [PROBLEMS, DRAFT] : [PROBLEMS];
    const words = standsInTheWay ? because : `Nothing was written. ${because}`;
    const chosen = await window.showWarningMessage(words, ...offers);
    if (chosen === PROBLEMS) await commands.executeCommand("workbench.actions.view.problems");
    if (chosen === DRAFT) await writeOutputs(text, kind, true);
  };
}
