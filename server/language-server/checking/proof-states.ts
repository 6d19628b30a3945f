import type { JudgedProtocol } from "@limbwright/language";
import { type EnvelopeOf, severitiesText } from "@limbwright/language/editor";
import type { ProtocolState } from "@limbwright/shared/editor";
import type { Finding, Severity } from "@limbwright/shared/finding";
import { openPointOf } from "@limbwright/shared/finding";
import type { Entries, Entry } from "./entries.ts";

/** A protocol of a file with how far its check has come. */
export interface StateAtProtocol extends ProtocolState {
  readonly judged: JudgedProtocol;
}

/** How far the check of every protocol of a file has come, in the order of the text. */
export function statesOf({ folder }: Entries, file: string, entry: Entry): StateAtProtocol[] {
  const judged = entry.isProven ? entry.proven?.judged : (entry.quick ?? entry.proven?.judged);
  // While a text has errors, no rule of its protocols is decided.
  const errors = (judged?.inText ?? []).filter(({ severity }) => severity === "error");
  return (judged?.protocols ?? []).map((protocol) => ({
    uri: folder.uriOf(file),
    protocol: protocol.name,
    judged: protocol,
    ...stateOf(protocol, errors, entry),
  }));
}

/** The times of the runs of a file's protocols, as far as they are known for the text as it stands. */
export function envelopesAt(states: readonly StateAtProtocol[]): EnvelopeOf {
  return (protocol) =>
    states.find((state) => state.protocol === protocol && state.state !== "stale")?.judged.envelope;
}

function stateOf(
  protocol: JudgedProtocol,
  errors: readonly Finding[],
  entry: Entry,
): Pick<ProtocolState, "state" | "alarm" | "words"> {
  if (!entry.isProven) {
    const words = entry.isStopped ? "the check was stopped; not decided" : "being checked";
    return { state: "stale", alarm: "none", words };
  }
  const { verdicts, findings } = protocol;
  const standing = findings.filter(({ accepted }) => !accepted);
  const broken = verdicts.filter(({ kind }) => kind === "broken").length;
  const undecided = verdicts.filter((one) => openPointOf(one)).length;
  const answered = verdicts.filter(({ kind }) => kind === "answered").length;
  const counted = counts([...errors, ...standing]);
  const parts = [
    severitiesText(counted),
    standing.length < findings.length ? `${findings.length - standing.length} accepted` : "",
    answered > 0 ? `${answered} answered by local rules` : "",
    undecided > 0 ? `${undecided} not decided` : "",
  ].filter((part) => part !== "");
  if (broken > 0 && parts.length === 0)
    return { state: "broken", alarm: "error", words: "slips in the text" };
  const alarm = alarmOf(counted, undecided);
  if (broken > 0) return { state: "broken", alarm, words: parts.join(", ") };
  if (undecided > 0) return { state: "not-decided", alarm, words: parts.join(", ") };
  const held =
    answered > 0
      ? `${verdicts.length - answered} rules hold, ${answered} answered by local rules`
      : `all ${verdicts.length} rules hold`;
  return { state: "holds", alarm, words: held };
}

function alarmOf(
  { error, unsafe, doubtful }: Record<Severity, number>,
  undecided: number,
): ProtocolState["alarm"] {
  if (error + unsafe > 0) return "error";
  return doubtful + undecided > 0 ? "warning" : "none";
}

function counts(findings: readonly Finding[]): Record<Severity, number> {
  const counted: Record<Severity, number> = { error: 0, unsafe: 0, doubtful: 0, advice: 0 };
  for (const { severity } of findings) counted[severity] += 1;
  return counted;
}
