import { callHierarchy } from "./features/call-hierarchy.ts";
import { codeActions } from "./features/code-actions.ts";
import { codeLenses } from "./features/code-lenses.ts";
import { definition } from "./features/definition.ts";
import { documentLinks } from "./features/document-links.ts";
import { fileRenames } from "./features/file-renames.ts";
import { formatting } from "./features/formatting.ts";
import { highlights } from "./features/highlights.ts";
import { references } from "./features/references.ts";
import { rename } from "./features/rename.ts";
import { workspaceSymbols } from "./features/workspace-symbols.ts";
import type { Feature } from "./service.ts";

/** Everything that the server does for an editor beside findings. */
export const FEATURES: readonly Feature[] = [
  callHierarchy,
  codeActions,
  codeLenses,
  definition,
  documentLinks,
  fileRenames,
  formatting,
  highlights,
  references,
  rename,
  workspaceSymbols,
];
