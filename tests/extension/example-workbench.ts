import { join } from "node:path";
import {
  type ServedWorkbench,
  serveWorkbench,
  textsBelow,
  type WorkbenchOptions,
} from "../../.development/workbench/serve.mjs";
import { Workbench } from "./workbench.ts";

const HOSPITAL = textsBelow(join(import.meta.dirname, "../../examples/tarn-hollow"));

/** What the protocols of the hospital share, and some files of it. */
export function siteWith(...files: readonly string[]): Record<string, string> {
  const shared = Object.keys(HOSPITAL).filter((file) => !file.includes("/"));
  return Object.fromEntries([...shared, ...files].map((file) => [file, HOSPITAL[file] ?? ""]));
}

/** Where some words begin in a file: line and column, counted from 1. */
export function placeOf(file: string, words: string): [line: number, column: number] {
  const before = (HOSPITAL[file] ?? "").split(words)[0]?.split("\n") ?? [];
  return [before.length, (before.at(-1)?.length ?? 0) + 1];
}

interface OpenWorkbench {
  readonly served: ServedWorkbench;
  readonly workbench: Workbench;
}

/** One for all tests of a worker that ask for nothing of their own: it ends with that. */
let shared: OpenWorkbench | undefined;
let begun = 0;

/**
 * Does something in a workbench with some files. Starting one takes longer than most tests: where it has the folder and the
 * options that all have, an open one begins again with these files; `fresh` is for what minds that the editor still tells for some
 * minutes of files that were open in it.
 */
export async function inWorkbench(
  options: WorkbenchOptions,
  act: (workbench: Workbench) => Promise<void>,
  { fresh = false } = {},
): Promise<void> {
  begun += 1;
  const begin = { ...options, done: `begun: ${begun}` };
  const isOwn = fresh || ["folder", "defaults", "more"].some((option) => option in options);
  const before = isOwn ? undefined : shared;
  if (!isOwn) shared = undefined;
  const now = before ?? (await opened(begin));
  const { served, workbench } = now;
  const ended = async () => {
    await workbench.close();
    served.close();
  };
  try {
    if (before) {
      served.beginWith(begin);
      await workbench.command("Example Folder: Begin Again");
    }
    await workbench.statusItem(new RegExp(`${begin.done}$`)).waitFor();
    await act(workbench);
    workbench.expectNoFaults();
  } catch (error) {
    console.error(`The screen as the test failed: ${await workbench.pictureOfFailure()}`);
    await ended();
    throw error;
  }
  if (isOwn) await ended();
  else shared = now;
}

async function opened(begin: WorkbenchOptions): Promise<OpenWorkbench> {
  const served = await serveWorkbench(begin);
  return { served, workbench: await Workbench.open(served.url) };
}
