import type { OpenedFiles } from "../workspace/open-files.ts";
import { decodeText, MOST_BYTES } from "../workspace/read-text.ts";
import { STANDARD_INPUT } from "../workspace/workspace.ts";
import type { Invocation } from "./surroundings.ts";

/** Reads standard input where it was named with `-`, as a file of the workspace. Throws `Trouble` when it is no text. */
export function giveInput({ workspace, files }: OpenedFiles, { input }: Invocation): void {
  if (!files.includes(STANDARD_INPUT)) return;
  workspace.give(STANDARD_INPUT, decodeText(input(MOST_BYTES + 1), "Standard input"));
}
