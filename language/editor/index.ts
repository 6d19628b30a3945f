export { CAUTION } from "@limbwright/shared/text";
export { canonicalName } from "../model/spelling.ts";
export { tellRunShortly } from "../outputs/findings/run-lines.ts";
export { messageLines, severitiesText } from "../outputs/findings/words.ts";
export { acceptanceFor, type PlaceToAccept } from "./acceptance-place.ts";
export {
  COLOURED_PATTERNS,
  type ColouredToken,
  colourTokens,
  isKeyword,
  NAME_PATTERN,
  type TokenKind,
} from "./coloured-tokens.ts";
export { type Completion, type CompletionKind, type Completions, completionsAt } from "./completions.ts";
export { type Fold, foldsOf, selectionsAt } from "./folds.ts";
export { type Hover, hoverAt } from "./hover.ts";
export { type EnvelopeOf, type Inlay, inlaysOf } from "./inlays.ts";
export {
  type NameKind,
  type NamesInFile,
  type NameUse,
  namesIn,
  type UnknownName,
} from "./names.ts";
export { type OutlineItem, type OutlineKind, outlineOf } from "./outline.ts";
export { findCoveredBox } from "./sample-amounts.ts";
export { type AmountForm, type Signature, signatureAt } from "./signatures.ts";
export { STATEMENTS, type StatementTemplate } from "./statement-templates.ts";
export { findUsedFileAt, findUsedFiles, type UsedFile, unreadWords } from "./used-files.ts";
