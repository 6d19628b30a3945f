import type { AcceptedBy, Finding, Origin, PatientEvidence, Severity } from "@limbwright/shared/finding";
import { thousands } from "@limbwright/shared/quantity";
import { listText } from "@limbwright/shared/text";

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

/** "by Pharmacy until 2027-01-31: Box ends at 66 kg". */
export function acceptanceText({ because, by, until }: AcceptedBy): string {
  return `by ${by} until ${until}: ${because}`;
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
