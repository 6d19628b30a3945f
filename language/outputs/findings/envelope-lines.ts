import { clockText } from "@limbwright/shared/quantity";
import { type Extreme, type Runs, wholeEnvelope } from "../../runs/index.ts";
import { paragraph, type TextOptions } from "./text-finding.ts";

/** "Release 30:00 to under 45:45 after the injection; the cuffs up for 33:50 to under 54:05." Empty where not every run is followed to its end. */
export function envelopeLines(runs: Runs, options: TextOptions): string[] {
  const envelope = wholeEnvelope(runs);
  if (!envelope) return [];
  const { release, occlusion } = envelope;
  const parts = [
    ...(release ? [`release ${spanText(release.earliest, release.latest)} after the injection`] : []),
    ...(occlusion ? [`occlusion ${spanText(occlusion.shortest, occlusion.longest)}`] : []),
  ];
  return parts.length === 0 ? [] : paragraph("", `Over all runs: ${parts.join("; ")}.`, options);
}

/** "30:00 to under 45:45"; "30:00 or more" without a limit. */
export function spanText(least: Extreme, greatest: Extreme | undefined): string {
  const from = `${least.attained ? "" : "over "}${clockText(least.seconds)}`;
  if (!greatest) return `${from} or more`;
  return `${from} to ${greatest.attained ? "" : "under "}${clockText(greatest.seconds)}`;
}
