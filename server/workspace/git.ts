import { existsSync } from "node:fs";
import { dirname, join } from "node:path";
import { promisify } from "node:util";
import { codeOf } from "./trouble.ts";

/** Loaded when Git is asked: a start has to be quick, and most have nothing to ask. */
function processes(): typeof import("node:child_process") {
  return process.getBuiltinModule("node:child_process");
}

/** Runs a command of Git that only reads, in a folder, without a shell. Throws what `execFileSync` throws. */
export function git(folder: string, given: readonly string[], input = ""): Buffer {
  return processes().execFileSync("git", ["-C", folder, ...given], {
    ...settings(),
    input,
    stdio: ["pipe", "pipe", "pipe"],
  });
}

/** Whether an error says that Git ran, and could not do it. */
export function isRefusal(error: unknown): boolean {
  return error instanceof Error && "status" in error && typeof error.status === "number";
}

/** What Git says of why it could not do it. */
export function refusalWords(error: unknown): string {
  return error instanceof Error && "stderr" in error ? String(error.stderr).trim() : String(error);
}

/** What Git printed, or what it says of why it could not do what was asked. */
export type GitAnswer =
  | { readonly printed: string; readonly refusal?: undefined }
  | { readonly printed?: undefined; readonly refusal: string };

/** The same without waiting for it. Undefined where there is no Git. */
export async function askGit(folder: string, given: readonly string[]): Promise<GitAnswer | undefined> {
  try {
    const { stdout } = await promisify(processes().execFile)("git", ["-C", folder, ...given], {
      ...settings(),
      timeout: LONGEST,
    });
    return { printed: stdout };
  } catch (error) {
    if (codeOf(error) === "ENOENT") return undefined;
    const isLate = error instanceof Error && "killed" in error && error.killed === true;
    return { refusal: isLate ? `it did not answer for ${LONGEST / 1000} s` : refusalWords(error) };
  }
}

/** A disk that does not answer must not hold up an editor; in ms. */
const LONGEST = 5000;

/** Whether a folder may lie in a repository: where it cannot, there is no need to start a program. */
export function mayLieInRepository(folder: string): boolean {
  if (existsSync(join(folder, ".git"))) return true;
  const above = dirname(folder);
  return above !== folder && mayLieInRepository(above);
}

function settings() {
  return {
    // Windows looks for a program in the folder in which it is to run first: that must not be one that came from elsewhere.
    cwd: dirname(process.execPath),
    env: { ...ownEnvironment(), ...ONLY_READING },
    maxBuffer: Number.POSITIVE_INFINITY,
    windowsHide: true,
  };
}

/**
 * Takes no lock, asks nobody, fetches nothing, and speaks English, whose words are looked at where it fails. An older Git fetches what
 * a partial clone lacks, by programs that the repository may name, unless every way is barred.
 */
const ONLY_READING = {
  GIT_OPTIONAL_LOCKS: "0",
  GIT_TERMINAL_PROMPT: "0",
  GIT_NO_LAZY_FETCH: "1",
  GIT_ALLOW_PROTOCOL: "none",

  LC_ALL: "C",
};

/**
 * The environment without what Git tells its own children, such as hooks: there it may point to another repository than that of
 * the folder.
 */
function ownEnvironment(): NodeJS.ProcessEnv {
  return Object.fromEntries(
    Object.entries(process.env).filter(([name]) => !name.startsWith("GIT_") || KEPT_SETTINGS.test(name)),
  );
}

const KEPT_SETTINGS =
  /^GIT_(EXEC_PATH|CEILING_DIRECTORIES|CONFIG_(GLOBAL|SYSTEM|NOSYSTEM|COUNT|KEY_\d+|VALUE_\d+))$/;
