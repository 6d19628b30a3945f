import { mkdirSync, mkdtempSync, realpathSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { onTestFinished } from "vitest";
import { limb } from "../../server/cli/limb.ts";
import type { ExitCode, Stream } from "../../server/cli/surroundings.ts";

/** The day on which every test of the command line runs. */
const TODAY = "2026-11-25";

export interface Ran {
  readonly code: ExitCode;
  readonly out: string;
  readonly err: string;
}

export interface RunOptions {
  readonly input?: string | Uint8Array;
  readonly isTerminal?: boolean;
  readonly hasColour?: boolean;
  readonly clock?: () => number;
}

/** Runs the command line in this process, in a folder. */
export async function runLimb(
  folder: string,
  given: readonly string[],
  { input = "", isTerminal = false, hasColour = false, clock = () => 0 }: RunOptions = {},
): Promise<Ran> {
  const written = { out: "", err: "" };
  const stream = (to: "out" | "err"): Stream => ({
    write: (text) => {
      written[to] += text;
    },
    isTerminal,
    hasColour,
    columns: 100,
  });
  let unread = Buffer.from(input);
  const code = await limb(given, {
    currentFolder: folder,
    today: TODAY,
    output: stream("out"),
    messages: stream("err"),
    input: (most) => {
      const next = unread.subarray(0, most);
      unread = unread.subarray(most);
      return next;
    },
    clock,
  });
  return { code, ...written };
}

/** A folder of its own with these files, until the test has ended. A path that ends in / is a folder. */
export function folderWith(files: Readonly<Record<string, string | Uint8Array>>): string {
  const folder = realpathSync(mkdtempSync(join(tmpdir(), "limb-test-")));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  for (const [path, content] of Object.entries(files)) {
    mkdirSync(path.endsWith("/") ? join(folder, path) : dirname(join(folder, path)), { recursive: true });
    if (!path.endsWith("/")) writeFileSync(join(folder, path), content);
  }
  return folder;
}
