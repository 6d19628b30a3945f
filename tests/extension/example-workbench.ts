import { join } from "node:path";
import { serveWorkbench, textsBelow, type WorkbenchOptions } from "../../.development/workbench/serve.mjs";
import { openBrowser } from "../server/open-browser.ts";
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

/** Does something in a workbench with some files and closes it. */
export async function inWorkbench(
  begin: WorkbenchOptions,
  act: (workbench: Workbench) => Promise<void>,
): Promise<void> {
  const { url, close } = await serveWorkbench(begin);
  const workbench = await Workbench.open(await openBrowser(), url);
  try {
    await act(workbench);
    workbench.expectNoFaults();
  } catch (error) {
    await workbench.picture("where-a-test-failed");
    throw error;
  } finally {
    await workbench.close();
    close();
  }
}
