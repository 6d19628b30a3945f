import {
  type ClientCapabilities,
  CodeActionKind,
  type ServerCapabilities,
  TextDocumentSyncKind,
} from "vscode-languageserver";
import { ACCEPT, FIX_ALL, LEAVE, offerActions } from "./features/code-actions.ts";
import { answerComparison } from "./features/comparison.ts";
import { answerAboutNames } from "./features/names.ts";
import { answerPreview } from "./features/preview.ts";
import { showTexts, TOKENS } from "./features/reading.ts";
import { answerRequests } from "./features/requests.ts";
import { helpToWrite } from "./features/writing.ts";
import type { Service } from "./service.ts";

/** Registers everything that the server does for an editor beside findings. */
export function registerFeatures(service: Service): void {
  for (const register of [
    answerAboutNames,
    answerComparison,
    answerPreview,
    answerRequests,
    helpToWrite,
    offerActions,
    showTexts,
  ]) {
    register(service);
  }
}

/** What the server tells a client that it can do. */
export function capabilitiesFor({ textDocument }: ClientCapabilities): ServerCapabilities {
  return {
    positionEncoding: "utf-16",
    textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental, save: false },
    workspace: {
      workspaceFolders: { supported: true, changeNotifications: true },
      fileOperations: { willRename: { filters: [{ pattern: { glob: "**/*.limb" } }] } },
    },
    callHierarchyProvider: true,
    codeActionProvider: { codeActionKinds: [CodeActionKind.QuickFix, FIX_ALL, LEAVE] },
    codeLensProvider: { resolveProvider: false },
    completionProvider: { triggerCharacters: [" ", '"', "/"] },
    definitionProvider: true,
    documentFormattingProvider: true,
    documentHighlightProvider: true,
    documentLinkProvider: {},
    documentOnTypeFormattingProvider: { firstTriggerCharacter: "}", moreTriggerCharacter: ["\n"] },
    documentRangeFormattingProvider: true,
    documentSymbolProvider: true,
    executeCommandProvider: { commands: [ACCEPT] },
    foldingRangeProvider: true,
    hoverProvider: true,
    inlayHintProvider: true,
    referencesProvider: true,
    renameProvider: textDocument?.rename?.prepareSupport ? { prepareProvider: true } : true,
    selectionRangeProvider: true,
    semanticTokensProvider: { legend: TOKENS, full: true, range: true },
    signatureHelpProvider: { triggerCharacters: [" "] },
    workspaceSymbolProvider: true,
    experimental: {
      comparison: true,
      outputs: true,
      preview: true,
      rulePage: true,
      run: true,
      scenarios: true,
      template: true,
    },
  };
}
