import { execFileSync } from "node:child_process";
import { mkdirSync, rmSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { folderWith } from "./run-limb.ts";

/** A Git repository in a folder of its own, until the test has ended; every change goes through the real `git`. */
export class GitRepository {
  readonly folder: string;

  constructor(files: Readonly<Record<string, string>>) {
    this.folder = folderWith(files);
    this.git("init", "--quiet", "--initial-branch=main");
    this.commit("first");
  }

  /** Writes files, and takes away those that are null. */
  write(files: Readonly<Record<string, string | null>>): this {
    for (const [path, text] of Object.entries(files)) {
      const target = join(this.folder, path);
      if (text === null) rmSync(target);
      else {
        mkdirSync(dirname(target), { recursive: true });
        writeFileSync(target, text);
      }
    }
    return this;
  }

  commit(message: string): this {
    this.git("add", "--all");
    this.git("commit", "--quiet", "--message", message);
    return this;
  }

  git(...given: string[]): string {
    return execFileSync("git", given, {
      cwd: this.folder,
      encoding: "utf8",
      env: { ...process.env, ...ITS_OWN_SETTINGS },
      stdio: ["ignore", "pipe", "pipe"],
    });
  }
}

/** No settings of the person or the machine that runs the tests. */
const ITS_OWN_SETTINGS = {
  GIT_CONFIG_GLOBAL: "/dev/null",
  GIT_CONFIG_SYSTEM: "/dev/null",
  GIT_AUTHOR_NAME: "Tarn Hollow",
  GIT_AUTHOR_EMAIL: "block-room@tarn-hollow.example",
  GIT_COMMITTER_NAME: "Tarn Hollow",
  GIT_COMMITTER_EMAIL: "block-room@tarn-hollow.example",
};
