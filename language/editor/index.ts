export { CAUTION, plainMarkdown } from "@limbwright/shared/text";
export { canonicalName } from "../model/spelling.ts";
export { tellRunShortly } from "../outputs/findings/told-lines.ts";
export { messageLines, severitiesText } from "../outputs/findings/words.ts";
export { acceptanceFor, type PlaceToAccept } from "./acceptance-place.ts";
export { COLOURED_PATTERNS, NAME_PATTERN } from "./coloured-patterns.ts";
export { type ColouredToken, colourTokens, type TokenKind } from "./coloured-tokens.ts";
export { type Completion, type CompletionKind, type Completions, completionsAt } from "./completions.ts";
export { type Fold, foldsOf } from "./folds.ts";
export { type Hover, hoverAt } from "./hover.ts";
export { type EnvelopeOf, type Inlay, inlaysOf } from "./inlays.ts";
export { isKeyword } from "./keyword.ts";
export {
  NAME_KINDS,
  type NameKind,
  type NamesInFile,
  type NameUse,
  namesIn,
  type UnknownName,
} from "./names.ts";
export { type OutlineItem, type OutlineKind, outlineOf } from "./outline.ts";
export { findCoveredBox } from "./sample-amounts.ts";
export { selectionsAt } from "./selections.ts";
export { type AmountForm, type Signature, signatureAt } from "./signatures.ts";
export { STATEMENTS, type StatementTemplate, statementsIn } from "./statement-templates.ts";
export { unreadWords } from "./unread-words.ts";
export { findUsedFileAt, findUsedFiles, type UsedFile } from "./used-files.ts";
