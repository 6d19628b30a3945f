import type { EnvelopeOf } from "@limbwright/language/editor";
import type { FileInFolder } from "../folders/folder-set.ts";
import type { Checker } from "./checker.ts";

/** The times of the runs of a file's protocols, as far as they are known for the text as it stands. */
export function envelopesAt(checker: Checker, place: FileInFolder): EnvelopeOf {
  const states = checker.statesOf(place);
  return (protocol) =>
    states.find((state) => state.protocol === protocol && state.state !== "stale")?.judged.envelope;
}
