// A folder of texts in the memory of the browser, taken from where the editor is served. What is changed there is gone
// when the page is closed.

const vscode = require("vscode");

exports.activate = async ({ extensionUri, subscriptions }) => {
  const texts = vscode.Uri.joinPath(extensionUri, "texts.json").toString(true);
  const served = async () => (await fetch(texts)).json();
  const first = await served();
  const root = vscode.Uri.from(first.folder);
  const memory = new MemoryFolder(root, first.files);
  const standing = vscode.window.createStatusBarItem();
  let settings = first.settings;
  const again = async () => {
    const next = await served();
    await clear();
    await set(Object.fromEntries(Object.keys(settings).map((name) => [name, undefined])));
    settings = next.settings;
    memory.become(next.files);
    await begin(root, next, standing);
  };
  subscriptions.push(
    vscode.workspace.registerFileSystemProvider(first.folder.scheme, memory),
    vscode.commands.registerCommand("exampleFolder.beginAgain", again),
    standing,
  );
  void begin(root, first, standing);
};

/** Opens what the editor begins with and runs the commands it begins with, unless something is open already; says that it is done. */
async function begin(root, { open, run, done, settings }, standing) {
  await set(settings);
  if (vscode.window.tabGroups.all.every(({ tabs }) => tabs.length === 0)) {
    for (const file of open) {
      await vscode.window.showTextDocument(vscode.Uri.joinPath(root, file), { preview: false });
    }
    for (const command of run) await vscode.commands.executeCommand(command);
  }
  if (done === undefined) return;
  standing.text = done;
  standing.show();
}

/** What has no value is as it was before it was set. */
async function set(settings) {
  const all = vscode.workspace.getConfiguration();
  for (const [name, value] of Object.entries(settings)) {
    await all.update(name, value, vscode.ConfigurationTarget.Global);
  }
}

/** Leaves nothing of what was open, typed or told; only the editor itself holds for some minutes what was open. */
async function clear() {
  const open = vscode.window.tabGroups.all.flatMap(({ tabs }) => tabs);
  for (const _ of open) await vscode.commands.executeCommand("workbench.action.revertAndCloseActiveEditor");
  for (const command of CLEARING) await vscode.commands.executeCommand(command);
}

const CLEARING = [
  "limbwright.endRun",
  "workbench.action.closeAllEditors",
  "workbench.action.editorLayoutSingle",
  "workbench.action.closePanel",
  "notifications.clearAll",
  "testing.clearTestResults",
  "workbench.view.explorer",
  "workbench.files.action.collapseExplorerFolders",
];

class MemoryFolder {
  #root;
  #entries = new Map();
  #changed = new vscode.EventEmitter();
  onDidChangeFile = this.#changed.event;

  constructor(root, files) {
    this.#root = root;
    this.createDirectory(root);
    this.become(files);
  }

  /** Holds these texts and no others. Folders stay: of one that is gone the editor does not tell which files were in it. */
  become(files) {
    const before = [...this.#entries].filter(([, { type }]) => type === vscode.FileType.File);
    for (const [path] of before) this.delete(this.#root.with({ path }));
    for (const [path, text] of Object.entries(files)) {
      const uri = vscode.Uri.joinPath(this.#root, path);
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
