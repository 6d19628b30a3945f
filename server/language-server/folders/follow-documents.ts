import { TextDocuments } from "vscode-languageserver";
import { TextDocument } from "vscode-languageserver-textdocument";
import type { Service } from "../service.ts";

/** Keeps up with what is open in the editor. */
export function followDocuments({ connection, folders, checker }: Service): void {
  const documents = new TextDocuments(TextDocument);
  documents.onDidChangeContent(({ document }) => {
    const place = folders.findOrMake(document.uri);
    place.folder.show(place.file, document);
    checker.noteChange(place);
  });
  documents.onDidClose(({ document }) => {
    const place = folders.find(document.uri);
    if (!place) return;
    place.folder.show(place.file, undefined);
    if (folders.release(place.folder)) checker.close(place.folder);
    else checker.noteChange(place);
  });
  documents.listen(connection);
}
