import { type ChildProcess, execFileSync, spawn, spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { dirname, join, relative } from "node:path";
import { IF_THERE } from "../questions.ts";

const ROOT = join(import.meta.dirname, "../..");
const EDITOR = join(ROOT, ".cache/hosted-editor/node_modules/code-server/out/node/entry.js");

/** Why the editor cannot be had on this machine; undefined where it is there now. */
export function whyNoEditor(): string | undefined {
  const { status, stdout } = spawnSync(
    process.execPath,
    [".development/install-hosted-editor.mjs", ...IF_THERE],
    {
      cwd: ROOT,
      encoding: "utf8",
    },
  );
  return status === 0 ? undefined : stdout.trim();
}

/** VS Code with its extensions in Node and its screen in a browser, with the packed extension installed in it. */
export class HostedEditor {
  readonly #folder = mkdtempSync(join(tmpdir(), "limbwright-hosted-"));
  readonly #processes: ChildProcess[] = [];
  #workspaces = 0;

  constructor() {
    this.#editor("--install-extension", packedExtension());
  }

  /** Starts it and gives the address of its page. */
  async start(...options: string[]): Promise<string> {
    const port = await freePort();
    const given = [...this.#options(), "--auth", "none", "--bind-addr", `127.0.0.1:${port}`, ...options];
    const child = spawn(process.execPath, [EDITOR, ...given], {
      env: this.#environment(),
      stdio: ["ignore", "pipe", "pipe"],
    });
    this.#processes.push(child);
    await new Promise<void>((resolve, reject) => {
      child.stdout?.on("data", (data) => String(data).includes("HTTP server listening") && resolve());
      child.once("exit", (code) => reject(new Error(`the editor ended with ${code}`)));
    });
    return `http://127.0.0.1:${port}/`;
  }

  /** A workspace of its own for each flow: the editor keeps what was typed and not saved, and shows it when a folder is opened again. */
  workspaceWith(files: Readonly<Record<string, string>>): HostedWorkspace {
    this.#workspaces += 1;
    const workspace = new HostedWorkspace(join(this.#folder, `hospital-${this.#workspaces}`));
    for (const [file, text] of Object.entries(files)) workspace.write(file, text);
    return workspace;
  }

  end(): void {
    for (const child of this.#processes) child.kill();
    rmSync(this.#folder, { recursive: true, force: true, maxRetries: 5 });
  }

  #editor(...given: string[]): void {
    execFileSync(process.execPath, [EDITOR, ...this.#options(), ...given], {
      env: this.#environment(),
      stdio: "ignore",
    });
  }

  #options(): string[] {
    const own = (name: string) => join(this.#folder, name);
    return [
      "--user-data-dir",
      own("data"),
      "--extensions-dir",
      own("extensions"),
      "--disable-telemetry",
      "--disable-update-check",
    ];
  }

  #environment(): NodeJS.ProcessEnv {
    return {
      ...process.env,
      XDG_CONFIG_HOME: join(this.#folder, "config"),
      XDG_DATA_HOME: join(this.#folder, "share"),
    };
  }
}

export class HostedWorkspace {
  readonly folder: string;

  constructor(folder: string) {
    this.folder = folder;
  }

  write(file: string, text: string): void {
    const path = join(this.folder, file);
    mkdirSync(dirname(path), { recursive: true });
    writeFileSync(path, text);
  }

  /** Everything that is on the disk, by its path. */
  files(): Record<string, string> {
    const entries = readdirSync(this.folder, { recursive: true, withFileTypes: true });
    const paths = entries
      .filter((entry) => entry.isFile())
      .map((entry) => join(entry.parentPath, entry.name))
      .sort();
    return Object.fromEntries(paths.map((path) => [relative(this.folder, path), readFileSync(path, "utf8")]));
  }

  /** Makes it a repository with all that is in it committed. */
  commit(): void {
    const git = (...given: string[]) => execFileSync("git", given, { cwd: this.folder, stdio: "ignore" });
    git("init");
    git("add", ".");
    git("-c", "user.name=A", "-c", "user.email=a@example.org", "commit", "-m", "First");
  }
}

function packedExtension(): string {
  execFileSync("npm", ["run", "package"], { cwd: ROOT, stdio: "ignore" });
  const { version } = JSON.parse(readFileSync(join(ROOT, "extension/package.json"), "utf8"));
  return join(ROOT, `dist/limbwright-${version}.vsix`);
}

async function freePort(): Promise<number> {
  const server = createServer();
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  const address = server.address();
  await new Promise((resolve) => server.close(resolve));
  if (address === null || typeof address === "string") throw new Error("no port is free");
  return address.port;
}
