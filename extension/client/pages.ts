import {
  commands,
  type Disposable,
  EventEmitter,
  type TextDocumentContentProvider,
  Uri,
  workspace,
} from "vscode";

export const PAGE_SCHEME = "limbwright";

/** Texts that the extension shows: the page of a rule. They have no file and cannot be changed. */
export class Pages implements TextDocumentContentProvider, Disposable {
  readonly #texts = new Map<string, string>();
  readonly #changed = new EventEmitter<Uri>();
  readonly #registered = workspace.registerTextDocumentContentProvider(PAGE_SCHEME, this);
  readonly onDidChange = this.#changed.event;

  /** Shows Markdown as it reads, under a title; the same title again replaces what was there. */
  async showMarkdown(title: string, text: string): Promise<void> {
    const uri = Uri.from({ scheme: PAGE_SCHEME, path: `/${title}.md` });
    this.#texts.set(uri.path, text);
    this.#changed.fire(uri);
    await commands.executeCommand("markdown.showPreview", uri);
  }

  provideTextDocumentContent({ path }: Uri): string | undefined {
    return this.#texts.get(path);
  }

  dispose(): void {
    this.#registered.dispose();
    this.#changed.dispose();
  }
}
