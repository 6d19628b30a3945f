import type { Output } from "@limbwright/shared/editor";
import { commands, ProgressLocation, Uri, window, workspace } from "vscode";

/** An output of protocols: how it is asked for, and what a person calls it. */
export interface OutputKind {
  readonly called: string;
  readonly ask: (uri: string, draft: boolean) => Promise<readonly Output[] | null>;
  readonly show: (file: Uri) => Promise<unknown>;
}

const DRAFT = "Write a draft";
const PROBLEMS = "Show the problems";
const SHOW = "Open it";

/** Writes an output of every protocol of a text beside it, each whole or not at all, and says what became of each. */
export async function writeOutputs(text: Uri, kind: OutputKind, draft = false): Promise<void> {
  if (text.scheme === "untitled") {
    await window.showInformationMessage(
      `Save this text into a file first: the ${kind.called} is written beside it.`,
    );
    return;
  }
  const title = `Limbwright: preparing the ${kind.called}`;
  const outputs = await window.withProgress({ location: ProgressLocation.Window, title }, () =>
    kind.ask(text.toString(), draft),
  );
  if (!outputs || outputs.length === 0) {
    await window.showInformationMessage(
      `This file declares no protocol, so there is no ${kind.called} of it.`,
    );
    return;
  }
  const told: Promise<void>[] = [];
  for (const output of outputs) {
    const tell =
      output.kind === "written" ? await writeOutput(text, kind, output) : offerDraft(text, kind, output);
    told.push(tell());
  }
  await Promise.all(told);
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
function offerDraft(text: Uri, kind: OutputKind, { because, findings }: Refused): () => Promise<void> {
  return async () => {
    const canBeDraft = findings.length > 0 && findings.every(({ severity }) => severity !== "error");
    const offers = canBeDraft ? [PROBLEMS, DRAFT] : [PROBLEMS];
    const words = findings.length > 0 ? because : `Nothing was written. ${because}`;
    const chosen = await window.showWarningMessage(words, ...offers);
    if (chosen === PROBLEMS) await commands.executeCommand("workbench.actions.view.problems");
    if (chosen === DRAFT) await writeOutputs(text, kind, true);
  };
}
