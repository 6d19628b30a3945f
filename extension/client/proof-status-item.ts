import type { ProofState } from "@limbwright/shared/editor";
import { Disposable, type Event, MarkdownString, StatusBarAlignment, ThemeColor, window } from "vscode";
import { type ProofStatus, proofStatus } from "./proof-status.ts";

const COLOURS: Readonly<Record<ProofStatus["alarm"], string | undefined>> = {
  error: "statusBarItem.errorBackground",
  warning: "statusBarItem.warningBackground",
  none: undefined,
};

/** Shows in the status bar how far the proof has come; a click opens the problems. */
export function showProofStatus(proofStates: Event<ProofState>): Disposable {
  const item = window.createStatusBarItem("limbwright.proof", StatusBarAlignment.Left, 10);
  item.name = "Limbwright: proof";
  item.command = "workbench.actions.view.problems";
  let state: ProofState = { isRunning: true, protocols: [], filesLeft: 0 };
  const show = () => {
    const document = window.activeTextEditor?.document;
    const status = document?.languageId === "limb" ? proofStatus(state, document.uri.toString()) : undefined;
    if (!status) {
      item.hide();
      return;
    }
    const colour = COLOURS[status.alarm];
    item.text = status.text;
    item.tooltip = tooltipOf(status);
    item.accessibilityInformation = { label: status.spoken, role: "button" };
    item.backgroundColor = colour === undefined ? undefined : new ThemeColor(colour);
    item.show();
  };
  const told = proofStates((now) => {
    state = now;
    show();
  });
  return Disposable.from(item, told, window.onDidChangeActiveTextEditor(show));
}

/** Names and words come from a protocol, so they are put in as text, never as markup. */
function tooltipOf({ lines }: ProofStatus): MarkdownString {
  const tooltip = new MarkdownString();
  for (const line of lines) tooltip.appendText(line).appendMarkdown("\n\n");
  return tooltip.appendText("Click to open the problems.");
}
