import type { ExtensionContext } from "vscode";
import type { BaseLanguageClient } from "vscode-languageclient";
import type { Pages } from "./pages.ts";

/** What the parts of the extension work with. */
export interface Limbwright {
  readonly context: ExtensionContext;
  readonly client: BaseLanguageClient;
  /** Texts that are shown and never saved. */
  readonly pages: Pages;
}
