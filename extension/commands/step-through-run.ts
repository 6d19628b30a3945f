import { RUN, type RunAsked, type RunToStepThrough, STEP_THROUGH_COMMAND } from "@limbwright/shared/editor";
import {
  commands,
  type DecorationOptions,
  type Diagnostic,
  type Disposable,
  languages,
  MarkdownString,
  Range,
  StatusBarAlignment,
  TextEditorRevealType,
  ThemeColor,
  Uri,
  window,
  workspace,
} from "vscode";
import { type Command, findText, type Limbwright } from "./command.ts";
import {
  beginStepping,
  markOld,
  moveBy,
  type Stepping,
  standingWords,
  stepAt,
  stepWords,
  wordsBeside,
} from "./run-stepping.ts";

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

/** While it is so, keys and buttons step through the run. */
const CONTEXT = "limbwright.isSteppingThroughRun";

/** The colours of a debugger's line: the editor's own for "here it is now", in every theme. */
const LINE = window.createTextEditorDecorationType({
  isWholeLine: true,
  backgroundColor: new ThemeColor("editor.stackFrameHighlightBackground"),
  border: "1px solid",
  borderColor: new ThemeColor("contrastBorder"),
  after: { color: new ThemeColor("editor.foreground"), fontStyle: "italic", margin: "0 0 0 3em" },
});

/** A run on the screen: the line of the step lit up, what happens beside it and in the status bar. */
class ShownRun implements Disposable {
  #stepping: Stepping;
  readonly #item = window.createStatusBarItem("limbwright.run", StatusBarAlignment.Left, 9);
  readonly #edits: Disposable;

  private constructor(stepping: Stepping) {
    this.#stepping = stepping;
    this.#item.name = "Limbwright: run";
    this.#item.command = "limbwright.nextStep";
    this.#edits = workspace.onDidChangeTextDocument(({ document, contentChanges }) => {
      if (document.languageId === "limb" && contentChanges.length > 0) this.#tellOld();
    });
  }

  /** Undefined where the run has no step. */
  static of(run: RunToStepThrough): ShownRun | undefined {
    const stepping = beginStepping(run);
    return stepping && new ShownRun(stepping);
  }

  async move(by: number): Promise<void> {
    this.#stepping = moveBy(this.#stepping, by);
    await this.show();
  }

  async show(): Promise<void> {
    await commands.executeCommand("setContext", CONTEXT, true);
    this.#say();
    await this.#light();
  }

  #say(): void {
    const words = stepWords(this.#stepping);
    this.#item.text = `$(debug-step-over) ${words}`;
    this.#item.accessibilityInformation = { label: `Step ${words}` };
    this.#item.tooltip = tooltipOf(this.#stepping);
    this.#item.show();
  }

  /** The lines of the run are those of the text before. */
  #tellOld(): void {
    this.#stepping = markOld(this.#stepping);
    this.#say();
  }

  async #light(): Promise<void> {
    const place = stepAt(this.#stepping)?.place;
    if (!place) return;
    const { start, end } = place.range;
    const there = new Range(start.line, start.character, start.line, start.character);
    const editor = await window.showTextDocument(Uri.parse(place.uri), { selection: there });
    unlight();
    const line: DecorationOptions = {
      range: new Range(start.line, start.character, start.line, end.character),
      hoverMessage: tooltipOf(this.#stepping),
      renderOptions: {
        after: { contentText: wordsBeside(this.#stepping, editor.document.lineAt(start.line).text) },
      },
    };
    editor.setDecorations(LINE, [line]);
    editor.revealRange(there, TextEditorRevealType.InCenterIfOutsideViewport);
  }

  dispose(): void {
    this.#edits.dispose();
    this.#item.dispose();
    unlight();
    void commands.executeCommand("setContext", CONTEXT, false);
  }
}

function unlight(): void {
  for (const editor of window.visibleTextEditors) editor.setDecorations(LINE, []);
}

/** The words of a run come from the protocol, so they are put in as text. */
function tooltipOf(stepping: Stepping): MarkdownString {
  const { run } = stepping;
  return [run.what, standingWords(stepping), run.caution].reduce(
    (tooltip, words) => tooltip.appendText(words).appendMarkdown("\n\n"),
    new MarkdownString(),
  );
}
