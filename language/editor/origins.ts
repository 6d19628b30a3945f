import type { Origin } from "@limbwright/shared/finding";
import type { LangiumDocument } from "langium";
import { fileOf } from "../lower/site.ts";

/** A stretch of a text by its offsets, such as a leaf of the syntax tree. */
interface Stretch {
  readonly offset: number;
  readonly end: number;
}

export function originOfRange(document: LangiumDocument, { offset, end }: Stretch): Origin {
  const place = (at: number) => {
    const { line, character } = document.textDocument.positionAt(at);
    return { line: line + 1, column: character + 1, offset: at };
  };
  return { file: fileOf(document.uri), start: place(offset), end: place(end) };
}
