import type { RunStepShown } from "@limbwright/shared/editor";
import type { RunEvidence } from "@limbwright/shared/finding";
import type { Folder } from "./folders/folder.ts";
import { rangeOf } from "./places.ts";

/** The steps of a run, each with its place in the texts of a folder. */
export function stepsShown(folder: Folder, { lines }: RunEvidence): RunStepShown[] {
  return lines.map(({ origin, ...line }) => ({
    ...line,
    ...(origin && { place: { uri: folder.uriOf(origin.file), range: rangeOf(origin) } }),
  }));
}
