import type { LanguageClientOptions } from "vscode-languageclient";
import { PAGE_SCHEME } from "./pages.ts";

/** Texts of these schemes are shown, not worked on: an earlier version, a page of ours. The server is not told of them. */
const ONLY_SHOWN = new Set(["git", "vscode-scm", PAGE_SCHEME]);

/** What the client says when the server starts. */
export const CLIENT_OPTIONS: LanguageClientOptions = {
  documentSelector: [{ language: "limb" }],
  initializationOptions: {
    canAskForReason: true,
    canStepThroughRuns: true,
    rulePageLink: "command:limbwright.showRule?%5B%22{rule}%22%5D",
  },
  middleware: {
    didOpen: (document, next) => (ONLY_SHOWN.has(document.uri.scheme) ? Promise.resolve() : next(document)),
  },
};
