import type {
  AcceptedBy,
  AnsweredBy,
  Finding,
  Origin,
  PatientEvidence,
  Severity,
} from "@limbwright/shared/finding";
import { clockText, thousands } from "@limbwright/shared/quantity";
import { listText } from "@limbwright/shared/text";
import type { Envelope, Extreme } from "../../runs/index.ts";

/** "wrist-reduction.limb:41:9". */
export function placeText({ file, start }: Origin): string {
  return `${file}:${start.line}:${start.column}`;
}

/** "45 kg to under 50 kg (worst at 45 kg: 200 mg = 4.44 mg/kg, 0.44 mg/kg over)". */
export function patientsText({ ranges, everybody, worst, example }: PatientEvidence): string {
  const who = everybody ? "everybody in the protocol" : listText(ranges, "; ");
  if (worst) return `${who} (${witnessText("worst", worst)})`;
  return example ? `${who} (${witnessText("for example", example)})` : who;
}

function witnessText(rank: string, { patient, says }: { patient: string; says: string }): string {
  if (patient === "every patient") return says;
  return `${rank}${patient.startsWith("next to ") ? "" : " at"} ${patient}: ${says}`;
}

/** "by Pharmacy until 2027-01-31: Box ends at 66 kg"; "up to 3.5 mg/kg by …". */
export function acceptanceText({ upTo, because, by, until }: AcceptedBy): string {
  return `${upTo === undefined ? "" : `up to ${upTo} `}by ${by} until ${until}: ${because}`;
}

/** "at most 30 mg of ketorolac, by Pharmacy until 2027-01-31: Mixed in for wounds of the hand (source: Drug list)". */
export function answerText({ what, source, because, by, until }: AnsweredBy): string {
  return `${what}, by ${by} until ${until}: ${because} (source: ${source})`;
}

/** Everything that a finding says, as one paragraph, for programs that show one message. */
export function messageText(finding: Finding): string {
  return messageLines(finding).join(" ");
}

/** The same in parts: what, the patients, why, what to do next, and the acceptance. */
export function messageLines({ what, patients, why, next, accepted }: Finding): string[] {
  return [
    what,
    patients ? `Patients: ${patientsText(patients)}.` : "",
    why,
    next ? `Next: ${next}` : "",
    accepted ? `Accepted ${acceptanceText(accepted)}` : "",
  ].filter((line) => line !== "");
}

/** "1 rule", "3 rules". */
export function countText(count: number, one: string, many = `${one}s`): string {
  return `${thousands(count)} ${count === 1 ? one : many}`;
}

/** "2 errors, 1 unsafe, 3 advice"; empty when there is none. */
export function severitiesText(counts: Readonly<Record<Severity, number>>): string {
  const parts = [
    counts.error > 0 && countText(counts.error, "error"),
    counts.unsafe > 0 && `${counts.unsafe} unsafe`,
    counts.doubtful > 0 && `${counts.doubtful} doubtful`,
    counts.advice > 0 && `${counts.advice} advice`,
  ];
  return parts.filter(Boolean).join(", ");
}

/** Names that would fill the screen: up to `most`, or the first of them and how many more there are. */
export function someNames(names: readonly string[], isVerbose: boolean, most = 3): string {
  if (isVerbose || names.length <= most) return listText(names);
  const shown = names.slice(0, most - 1);
  return `${shown.join(", ")} and ${names.length - shown.length} more; all with --verbose`;
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
