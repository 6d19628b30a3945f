export { canonicalName } from "../model/spelling.ts";
export { toldLines } from "../outputs/findings/told-lines.ts";
export { messageLines, severitiesText } from "../outputs/findings/words.ts";
export { acceptanceFor, type PlaceToAccept } from "./acceptance-place.ts";
export { isKeyword } from "./keyword.ts";
export {
  NAME_KINDS,
  type NameKind,
  type NamesInFile,
  type NameUse,
  namesIn,
  type UnknownName,
} from "./names.ts";
export { unreadWords } from "./unread-words.ts";
export { type UsedFile, usedFileAt, usedFilesIn } from "./used-files.ts";
