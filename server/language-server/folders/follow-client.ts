import { DidChangeWatchedFilesNotification, TextDocuments } from "vscode-languageserver";
import { TextDocument } from "vscode-languageserver-textdocument";
import type { Service } from "../service.ts";
import type { Folder } from "./folder.ts";

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

/** Keeps up with the folders of the workspace and the files in them, also those changed outside the editor. */
export function followFolders(service: Service, first: readonly string[]): void {
  const { connection, client, folders, checker } = service;
  const watchesForUs = client.workspace?.didChangeWatchedFiles?.dynamicRegistration ?? false;
  const watches = new Map<string, () => void>();
  const reread = (folder: Folder, file: string) => {
    if (folder.reread(file)) checker.noteChange({ folder, file });
  };
  const open = (uri: string) => {
    const folder = folders.add(uri);
    moveOpenFiles(service, folder);
    checker.waitFor(listFiles(service, folder));
    if (!watchesForUs) {
      watches.set(folder.uri, folder.files?.watch((file) => reread(folder, file)) ?? (() => {}));
    }
  };
  const close = (uri: string) => {
    const folder = folders.remove(uri);
    if (!folder) return;
    watches.get(folder.uri)?.();
    watches.delete(folder.uri);
    checker.close(folder);
    moveOpenFiles(service, folder);
  };
  for (const uri of first) open(uri);
  if (watchesForUs) {
    const watchers = [{ globPattern: "**/*.limb" }];
    connection.client.register(DidChangeWatchedFilesNotification.type, { watchers }).catch(() => {});
  }
  connection.onDidChangeWatchedFiles(({ changes }) => {
    for (const { uri } of changes) {
      const place = folders.find(uri);
      if (!place) continue;
      const { folder, file } = place;
      void Promise.resolve(folder.files?.refresh(file)).then(() => reread(folder, file));
    }
  });
  connection.onNotification("workspace/didChangeWorkspaceFolders", ({ event }) => {
    for (const { uri } of event.removed) close(uri);
    for (const { uri } of event.added) open(uri);
  });
}

async function listFiles({ checker, connection }: Service, folder: Folder): Promise<void> {
  try {
    for (const file of (await folder.files?.list()) ?? []) {
      folder.listed.add(file);
      // What was asked for before the files were here was taken to be missing.
      folder.reread(file);
      checker.noteChange({ folder, file });
    }
  } catch (error) {
    connection.console.error(`The files of ${folder.uri} cannot be listed: ${error}`);
  }
}

/** What is open goes over to the folder it belongs to now, when one comes or goes. */
function moveOpenFiles({ folders, checker }: Service, changed: Folder): void {
  for (const folder of [...folders.all, changed]) {
    for (const file of folder.openFiles) {
      const document = folder.openDocument(file);
      if (!document) continue;
      const place = folders.findOrMake(document.uri);
      if (place.folder === folder) continue;
      folder.show(file, undefined);
      if (folders.release(folder)) checker.close(folder);
      else checker.noteChange({ folder, file });
      place.folder.show(place.file, document);
      checker.noteChange(place);
    }
  }
}
