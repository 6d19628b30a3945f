import { PROOF_STATE, type ProofState } from "@limbwright/shared/editor";
import { Disposable, MarkdownString, StatusBarAlignment, ThemeColor, window } from "vscode";
import type { BaseLanguageClient } from "vscode-languageclient";
import { type ProofStatus, proofStatus } from "./proof-status.ts";

const COLOURS: Readonly<Record<ProofStatus["colour"], string | undefined>> = {
  plain: undefined,
  warning: "statusBarItem.warningBackground",
  error: "statusBarItem.errorBackground",
};

/**
 * Shows in the status bar how far the proof has come; a click opens the problems. A client has one listener for a
 * notification, so `alsoTell` takes each one too.
 */
export function showProofStatus(client: BaseLanguageClient, alsoTell: () => void): Disposable {
  const item = window.createStatusBarItem("limbwright.proof", StatusBarAlignment.Left, 10);
  item.name = "Limbwright: proof";
  item.command = "workbench.actions.view.problems";
  let state: ProofState = { isRunning: true, protocols: [] };
  const show = () => {
    const document = window.activeTextEditor?.document;
    const status = document?.languageId === "limb" ? proofStatus(state, document.uri.toString()) : undefined;
    if (!status) {
      item.hide();
      return;
    }
    const colour = COLOURS[status.colour];
    item.text = status.text;
    item.tooltip = tooltipOf(status);
    item.accessibilityInformation = { label: status.spoken, role: "button" };
    item.backgroundColor = colour === undefined ? undefined : new ThemeColor(colour);
    item.show();
  };
  client.onNotification(PROOF_STATE, (told: ProofState) => {
    state = told;
    show();
    alsoTell();
  });
  return Disposable.from(item, window.onDidChangeActiveTextEditor(show));
}

/** Names and words come from a protocol, so they are put in as text, never as markup. */
function tooltipOf({ lines }: ProofStatus): MarkdownString {
  const tooltip = new MarkdownString();
  for (const line of lines) tooltip.appendText(line).appendMarkdown("\n\n");
  return tooltip.appendText("Click to open the problems.");
}
