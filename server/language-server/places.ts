import type { OutlineKind } from "@limbwright/language/editor";
import type { RunStepShown } from "@limbwright/shared/editor";
import type { Origin, RunEvidence, TextChange } from "@limbwright/shared/finding";
import { type Location, type Position, type Range, SymbolKind, type TextEdit } from "vscode-languageserver";
import type { Folder } from "./folders/folder.ts";

/** Where a place of a text is, as the protocol between editor and server counts: lines and characters from 0. */
export function rangeOf({ start, end }: Origin): Range {
  return { start: positionOf(start), end: positionOf(end) };
}

export function positionOf({ line, column }: { readonly line: number; readonly column: number }): Position {
  return { line: line - 1, character: column - 1 };
}

export function locationOf(folder: Folder, { origin }: { readonly origin: Origin }): Location {
  return { uri: folder.uriOf(origin.file), range: rangeOf(origin) };
}

/** Whether two ranges share a place; an empty one shares the place where it stands. */
export function overlaps(a: Range, b: Range): boolean {
  return !isBefore(a.end, b.start) && !isBefore(b.end, a.start);
}

function isBefore(a: Position, b: Position): boolean {
  return a.line < b.line || (a.line === b.line && a.character < b.character);
}

/** Changes of the texts of a folder, by their URIs. */
export function textEditsOf(folder: Folder, changes: readonly TextChange[]): Record<string, TextEdit[]> {
  const edits: Record<string, TextEdit[]> = {};
  for (const { origin, text } of changes) {
    const { uri, range } = locationOf(folder, { origin });
    edits[uri] = [...(edits[uri] ?? []), { range, newText: text }];
  }
  return edits;
}

/** The steps of a run, each with its place in the texts of a folder. */
export function stepsShown(folder: Folder, { lines }: RunEvidence): RunStepShown[] {
  return lines.map(({ origin, ...line }) => ({
    ...line,
    ...(origin && { place: locationOf(folder, { origin }) }),
  }));
}

/** What each kind of thing is shown as, by the symbols that editors have. */
export const SYMBOL_KINDS: Readonly<Record<OutlineKind, SymbolKind>> = {
  agent: SymbolKind.Constant,
  cuff: SymbolKind.Object,
  dose: SymbolKind.Number,
  emergency: SymbolKind.Event,
  event: SymbolKind.Event,
  handler: SymbolKind.Event,
  "local-rules": SymbolKind.Namespace,
  protocol: SymbolKind.Module,
  requirement: SymbolKind.Namespace,
  routine: SymbolKind.Function,
  scenario: SymbolKind.Class,
  section: SymbolKind.Field,
  stage: SymbolKind.Struct,
  timer: SymbolKind.Variable,
};
