import { clockText } from "@limbwright/shared/quantity";
import { type Envelope, type Extreme, type Runs, wholeEnvelope } from "../../runs/index.ts";
import { paragraph, type TextOptions } from "./text-finding.ts";

/** The text of `envelopeText`, wrapped; empty where there is none. */
export function envelopeLines(runs: Runs, options: TextOptions): string[] {
  const text = envelopeText(wholeEnvelope(runs));
  return text === undefined ? [] : paragraph("", text, options);
}

/**
 * "Over all runs: release 30:00 to under 45:45 after the injection; occlusion 33:50 to under 54:05." Undefined where nothing
 * is known of every run.
 */
export function envelopeText(envelope: Envelope | undefined): string | undefined {
  if (!envelope) return undefined;
  const { release, occlusion } = envelope;
  const parts = [
    ...(release ? [`release ${spanText(release.earliest, release.latest)} after the injection`] : []),
    ...(occlusion ? [`occlusion ${spanText(occlusion.shortest, occlusion.longest)}`] : []),
  ];
  return parts.length === 0 ? undefined : `Over all runs: ${parts.join("; ")}.`;
}

/** "30:00 to under 45:45"; "30:00 or more" without a limit. */
export function spanText(least: Extreme, greatest: Extreme | undefined): string {
  const from = `${least.attained ? "" : "over "}${clockText(least.seconds)}`;
  if (!greatest) return `${from} or more`;
  return `${from} to ${greatest.attained ? "" : "under "}${clockText(greatest.seconds)}`;
}
