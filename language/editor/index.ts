export { toldLines } from "../outputs/findings/told-lines.ts";
export { messageLines, severitiesText } from "../outputs/findings/words.ts";
export {
  NAME_KINDS,
  type NameKind,
  type NamesInFile,
  type NameUse,
  namesIn,
  type UnknownName,
} from "./names.ts";
