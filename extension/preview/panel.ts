import { PREVIEW, type PreviewAsked, type PreviewModel, type ProofState } from "@limbwright/shared/editor";
import {
  commands,
  Disposable,
  type Event,
  type ExtensionContext,
  Position,
  Selection,
  type TextDocument,
  type TextEditor,
  TextEditorRevealType,
  Uri,
  ViewColumn,
  type Webview,
  type WebviewPanel,
  type WebviewPanelSerializer,
  window,
  workspace,
} from "vscode";
import type { BaseLanguageClient } from "vscode-languageclient";
import { previewHtml } from "../client/webview-page.ts";
import { type FromPage, fromPage, type ToPage, type TypedPatient } from "./messages.ts";
import { newestOnly } from "./newest-only.ts";

/**
 * Registers the command that opens the preview; one panel follows whichever protocol is in front. Whenever the server tells of its
 * proof, what is to be shown may be another.
 */
export function registerPreview(
  { extensionUri }: Pick<ExtensionContext, "extensionUri">,
  client: Pick<BaseLanguageClient, "sendRequest">,
  proofStates: Event<ProofState>,
): Disposable {
  const following = new Following(extensionUri, client);
  return Disposable.from(
    commands.registerCommand("limbwright.openPreview", () => following.open()),
    window.registerWebviewPanelSerializer(VIEW_TYPE, following),
    window.onDidChangeActiveTextEditor((editor) => following.follow(editor)),
    window.onDidChangeTextEditorSelection(({ textEditor }) => following.cursorMoved(textEditor)),
    workspace.onDidChangeTextDocument(({ document, contentChanges }) => {
      if (contentChanges.length > 0) following.textChanged(document);
    }),
    proofStates(() => following.refresh()),
    following,
  );
}

const VIEW_TYPE = "limbwright.preview";

/** A panel that follows the protocol in front: its text, its proof and its cursor. */
class Following implements WebviewPanelSerializer {
  readonly #files: Uri;
  readonly #client: Pick<BaseLanguageClient, "sendRequest">;
  readonly #asking = newestOnly((asked: PreviewAsked) =>
    this.#client.sendRequest<PreviewModel | null>(PREVIEW, asked),
  );
  #panel: WebviewPanel | undefined;
  /** The editor in front, or the last one that was. */
  #editor: TextEditor | undefined;
  #model: PreviewModel | undefined;
  /** The protocol that stays shown while a file that it uses is in front, which has none of its own. */
  #kept: Pick<PreviewAsked, "uri" | "position"> | undefined;
  #patient: TypedPatient = {};

  constructor(extension: Uri, client: Pick<BaseLanguageClient, "sendRequest">) {
    this.#files = Uri.joinPath(extension, "dist", "preview");
    this.#client = client;
  }

  open(): void {
    this.follow(window.activeTextEditor);
    if (this.#panel) this.#panel.reveal(undefined, true);
    else this.#show();
  }

  /** After a reload of the window the editor hands the panel back. What was typed of a patient is gone: it is never kept. */
  async deserializeWebviewPanel(panel: WebviewPanel): Promise<void> {
    this.#panel?.dispose();
    this.#fill(panel);
  }

  follow(editor: TextEditor | undefined): void {
    if (!editor || !isProtocol(editor) || editor === this.#editor) return;
    this.#editor = editor;
    this.#kept = undefined;
    this.refresh();
  }

  textChanged(document: TextDocument): void {
    if (!this.#editor) return;
    const isShown = Object.values(this.#model?.files ?? {}).includes(document.uri.toString());
    if (isShown) this.#tell({ kind: "changed" });
    if (document.languageId === "limb") this.refresh();
  }

  /** The line is told at once; another protocol is asked for where the cursor has left the one that is shown. */
  cursorMoved(editor: TextEditor): void {
    if (editor !== this.#editor) return;
    this.#tellCursor();
    if (this.#kept) return;
    const { line } = editor.selection.active;
    const range = this.#model?.range;
    if (!range || line < range.start.line || line > range.end.line) this.refresh();
  }

  /** Asks for what there is to show now. The newest question wins; an answer to an older one is dropped. */
  refresh(): void {
    // After a reload no text may be in front: the panel is. The text beside it comes later, and is then the one.
    this.#editor ??= window.visibleTextEditors.find(isProtocol);
    const editor = this.#editor;
    if (!this.#panel || !editor) return;
    const { line, character } = editor.selection.active;
    const { uri, position } = this.#kept ?? {
      uri: editor.document.uri.toString(),
      position: { line, character },
    };
    this.#asking({
      uri,
      position,
      patient: this.#patient,
    }).then(
      (answer) => {
        if (answer.isNewest) this.#takeAnswer(uri, answer.value);
      },
      (error: unknown) => this.#takeAnswer(uri, null, `No preview: ${String(error)}`),
    );
  }

  dispose(): void {
    this.#panel?.dispose();
  }

  #takeAnswer(uri: string, model: PreviewModel | null, because = NOTHING): void {
    const before = this.#model;
    if (!model && before && this.#isUsedBy(before, uri)) {
      this.#kept = { uri: before.uri, position: before.range.start };
      this.#tellCursor();
      this.refresh();
      return;
    }
    this.#model = model ?? undefined;
    this.#tell(model ? { kind: "model", model } : { kind: "nothing", uri, because });
    if (this.#panel) this.#panel.title = model ? `Preview: ${model.title ?? model.protocol}` : "Preview";
    if (before?.uri !== model?.uri || before?.protocol !== model?.protocol) this.#tellCursor();
  }

  #isUsedBy({ uri: own, files }: PreviewModel, uri: string): boolean {
    return uri !== own && Object.values(files).includes(uri);
  }

  #show(): void {
    const column = { viewColumn: ViewColumn.Beside, preserveFocus: true };
    // A page that is hidden keeps its picture, so that none flickers when it is shown again.
    const options = { retainContextWhenHidden: true };
    this.#fill(window.createWebviewPanel(VIEW_TYPE, "Preview", column, options));
  }

  #fill(panel: WebviewPanel): void {
    panel.webview.options = { enableScripts: true, localResourceRoots: [this.#files] };
    this.#panel = panel;
    panel.onDidDispose(() => {
      if (this.#panel !== panel) return;
      this.#panel = undefined;
      this.#patient = {};
    });
    panel.webview.onDidReceiveMessage((data: unknown) => {
      const message = fromPage(data);
      if (message) void this.#take(message);
    });
    panel.webview.html = this.#page(panel.webview);
  }

  #page(webview: Webview): string {
    const part = (name: string) => webview.asWebviewUri(Uri.joinPath(this.#files, name)).toString();
    const parts = { script: part("page.js"), style: part("style.css") };
    return previewHtml({ ...parts, source: webview.cspSource, nonce: crypto.randomUUID() });
  }

  async #take(message: FromPage): Promise<void> {
    switch (message.kind) {
      case "ready":
        this.refresh();
        return;
      case "patient":
        this.#patient = message.patient;
        this.refresh();
        return;
      case "open":
        await this.#reveal(message.file, message.line);
    }
  }

  /** Shows a line of one of the files that the shown protocol is made from; of no other. */
  async #reveal(file: string, line: number): Promise<void> {
    const uri = this.#model?.files[file];
    if (uri === undefined) return;
    const shown = window.visibleTextEditors.find(({ document }) => document.uri.toString() === uri);
    const column = shown?.viewColumn ?? this.#editor?.viewColumn;
    const document = await workspace.openTextDocument(Uri.parse(uri));
    const editor = await window.showTextDocument(document, column);
    const at = new Position(Math.min(line, document.lineCount) - 1, 0);
    const start = document
      .lineAt(at)
      .range.start.translate(0, document.lineAt(at).firstNonWhitespaceCharacterIndex);
    editor.selection = new Selection(start, start);
    editor.revealRange(document.lineAt(at).range, TextEditorRevealType.InCenterIfOutsideViewport);
  }

  #tellCursor(): void {
    if (!this.#model || !this.#editor) return;
    const line = this.#editor.selection.active.line + 1;
    const uri = this.#editor.document.uri.toString();
    const file = Object.entries(this.#model.files).find(([, one]) => one === uri)?.[0];
    if (file !== undefined) this.#tell({ kind: "cursor", file, line });
  }

  #tell(message: ToPage): void {
    void this.#panel?.webview.postMessage(message);
  }
}

function isProtocol({ document }: TextEditor): boolean {
  return document.languageId === "limb";
}

const NOTHING = "There is no protocol in this text, or it cannot be read as it stands.";
