// A folder of texts in the memory of the browser, taken from where the editor is served. What is changed there is gone
// when the page is closed.

const vscode = require("vscode");

exports.activate = async ({ extensionUri, subscriptions }) => {
  const { folder, files, open, run } = await (
    await fetch(vscode.Uri.joinPath(extensionUri, "texts.json").toString(true))
  ).json();
  const root = vscode.Uri.from(folder);
  const memory = new MemoryFolder(root, files);
  subscriptions.push(vscode.workspace.registerFileSystemProvider(folder.scheme, memory));
  void begin(root, open, run);
};

/** Opens what the editor begins with and runs the commands it begins with, unless something is open already. */
async function begin(root, open, run) {
  if (vscode.window.tabGroups.all.some(({ tabs }) => tabs.length > 0)) return;
  for (const file of open) {
    await vscode.window.showTextDocument(vscode.Uri.joinPath(root, file), { preview: false });
  }
  for (const command of run) await vscode.commands.executeCommand(command);
}

class MemoryFolder {
  #entries = new Map();
  #changed = new vscode.EventEmitter();
  onDidChangeFile = this.#changed.event;

  constructor(root, files) {
    this.createDirectory(root);
    for (const [path, text] of Object.entries(files)) {
      const uri = vscode.Uri.joinPath(root, path);
      this.#makeFoldersOf(uri);
      this.writeFile(uri, new TextEncoder().encode(text), { create: true, overwrite: true });
    }
  }

  watch() {
    return new vscode.Disposable(() => {});
  }

  stat(uri) {
    const { type, ctime, mtime, bytes } = this.#entryAt(uri);
    return { type, ctime, mtime, size: bytes?.byteLength ?? 0 };
  }

  readDirectory(uri) {
    this.#entryAt(uri);
    const above = `${uri.path}/`;
    return [...this.#entries]
      .filter(([path]) => path.startsWith(above) && !path.slice(above.length).includes("/"))
      .map(([path, { type }]) => [path.slice(above.length), type]);
  }

  readFile(uri) {
    return this.#entryAt(uri).bytes;
  }

  writeFile(uri, bytes, { create, overwrite }) {
    const before = this.#entries.get(uri.path);
    if (!before && !create) throw vscode.FileSystemError.FileNotFound(uri);
    if (before && create && !overwrite) throw vscode.FileSystemError.FileExists(uri);
    const now = Date.now();
    this.#entries.set(uri.path, {
      type: vscode.FileType.File,
      ctime: before?.ctime ?? now,
      mtime: now,
      bytes,
    });
    this.#tell(before ? vscode.FileChangeType.Changed : vscode.FileChangeType.Created, uri);
  }

  createDirectory(uri) {
    const now = Date.now();
    this.#entries.set(uri.path, { type: vscode.FileType.Directory, ctime: now, mtime: now });
    this.#tell(vscode.FileChangeType.Created, uri);
  }

  delete(uri) {
    this.#entryAt(uri);
    for (const path of this.#below(uri)) this.#entries.delete(path);
    this.#tell(vscode.FileChangeType.Deleted, uri);
  }

  rename(uri, to, { overwrite }) {
    if (this.#entries.has(to.path) && !overwrite) throw vscode.FileSystemError.FileExists(to);
    for (const path of this.#below(uri)) {
      this.#entries.set(to.path + path.slice(uri.path.length), this.#entries.get(path));
      this.#entries.delete(path);
    }
    this.#tell(vscode.FileChangeType.Deleted, uri);
    this.#tell(vscode.FileChangeType.Created, to);
  }

  #below(uri) {
    return [...this.#entries.keys()].filter((path) => path === uri.path || path.startsWith(`${uri.path}/`));
  }

  #makeFoldersOf(uri) {
    const above = vscode.Uri.joinPath(uri, "..");
    if (this.#entries.has(above.path)) return;
    this.#makeFoldersOf(above);
    this.createDirectory(above);
  }

  #entryAt(uri) {
    const entry = this.#entries.get(uri.path);
    if (!entry) throw vscode.FileSystemError.FileNotFound(uri);
    return entry;
  }

  #tell(type, uri) {
    this.#changed.fire([{ type, uri }]);
  }
}
