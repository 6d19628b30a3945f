import { callHierarchy } from "./features/call-hierarchy.ts";
import { codeActions } from "./features/code-actions.ts";
import { codeLenses } from "./features/code-lenses.ts";
import { comparison } from "./features/comparison.ts";
import { completion } from "./features/completion.ts";
import { definition } from "./features/definition.ts";
import { documentLinks } from "./features/document-links.ts";
import { documentSymbols } from "./features/document-symbols.ts";
import { fileRenames } from "./features/file-renames.ts";
import { folding } from "./features/folding.ts";
import { formatting } from "./features/formatting.ts";
import { highlights } from "./features/highlights.ts";
import { hover } from "./features/hover.ts";
import { inlayHints } from "./features/inlay-hints.ts";
import { outputs } from "./features/outputs.ts";
import { preview } from "./features/preview.ts";
import { references } from "./features/references.ts";
import { rename } from "./features/rename.ts";
import { rulePage } from "./features/rule-page.ts";
import { run } from "./features/run.ts";
import { scenarios } from "./features/scenarios.ts";
import { selectionRanges } from "./features/selection-ranges.ts";
import { semanticTokens } from "./features/semantic-tokens.ts";
import { signatureHelp } from "./features/signature-help.ts";
import { template } from "./features/template.ts";
import { workspaceSymbols } from "./features/workspace-symbols.ts";
import type { Feature } from "./service.ts";

/** Everything that the server does for an editor beside findings. */
export const FEATURES: readonly Feature[] = [
  callHierarchy,
  codeActions,
  codeLenses,
  comparison,
  completion,
  definition,
  documentLinks,
  documentSymbols,
  fileRenames,
  folding,
  formatting,
  highlights,
  hover,
  inlayHints,
  outputs,
  preview,
  references,
  rename,
  rulePage,
  run,
  scenarios,
  selectionRanges,
  semanticTokens,
  signatureHelp,
  template,
  workspaceSymbols,
];
