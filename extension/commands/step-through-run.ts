import { RUN, type RunAsked, type RunToStepThrough, STEP_THROUGH_COMMAND } from "@limbwright/shared/editor";
import { type Diagnostic, languages, window } from "vscode";
import type { Limbwright } from "../client/limbwright.ts";
import { findText } from "./asked-text.ts";
import type { Command } from "./command.ts";
import { ShownRun } from "./shown-run.ts";

/** The run that is stepped through now, if any; there is one editor, and one run at a time in it. */
let shown: ShownRun | undefined;

/** Steps through the run that breaks a rule: of the finding it is called on, else of the one at the cursor. */
export const stepThroughRun: Command = {
  id: STEP_THROUGH_COMMAND,
  run: async (limbwright, ...given) => {
    const run = await askForRun(limbwright, given);
    shown?.dispose();
    shown = run && ShownRun.of(run);
    if (shown) await shown.show();
  },
};

export const nextStep: Command = { id: "limbwright.nextStep", run: () => shown?.move(1) };

export const previousStep: Command = { id: "limbwright.previousStep", run: () => shown?.move(-1) };

export const endRun: Command = { id: "limbwright.endRun", run: end };

function end(): void {
  shown?.dispose();
  shown = undefined;
}

async function askForRun(
  { client }: Limbwright,
  given: readonly unknown[],
): Promise<RunToStepThrough | undefined> {
  const [asked] = given;
  const ask = (one: RunAsked) => client.sendRequest<RunToStepThrough | null>(RUN, one);
  if (isAsked(asked)) return (await ask(asked)) ?? tellNone("This finding has no run any more.");
  const text = findText(given);
  if (!text) return undefined;
  const line = window.activeTextEditor?.selection.active.line ?? 0;
  for (const { code, range } of nearestFirst(languages.getDiagnostics(text), line)) {
    const rule = typeof code === "object" ? code.value : code;
    const there = client.code2ProtocolConverter.asRange(range);
    const run = await ask({ uri: text.toString(), rule: String(rule), range: there });
    if (run) return run;
  }
  return tellNone("Nothing that is found in this file is shown by a run.");
}

function isAsked(given: unknown): given is RunAsked {
  return typeof given === "object" && given !== null && "rule" in given && "range" in given;
}

/** Those on the line of the cursor come first, then the nearest ones. */
function nearestFirst(found: readonly Diagnostic[], line: number): Diagnostic[] {
  const linesAway = ({ range: { start } }: Diagnostic) => Math.abs(start.line - line);
  return [...found].sort((a, b) => linesAway(a) - linesAway(b));
}

function tellNone(words: string): undefined {
  void window.showInformationMessage(words);
  return undefined;
}
