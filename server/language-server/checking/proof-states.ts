import type { JudgedProtocol } from "@limbwright/language";
import { severitiesText } from "@limbwright/language/editor";
import type { ProtocolState } from "@limbwright/shared/editor";
import type { Severity } from "@limbwright/shared/finding";
import type { Entries, Entry } from "./entries.ts";

/** A protocol of a file with how far its check has come. */
export interface StateAtProtocol extends ProtocolState {
  readonly judged: JudgedProtocol;
}

/** How far the check of every protocol of a file has come, in the order of the text. */
export function statesOf({ folder }: Entries, file: string, entry: Entry): StateAtProtocol[] {
  const judged = entry.isProven ? entry.proven?.judged : (entry.quick ?? entry.proven?.judged);
  return (judged?.protocols ?? []).map((protocol) => ({
    uri: folder.uriOf(file),
    protocol: protocol.name,
    judged: protocol,
    ...stateOf(protocol, entry),
  }));
}

function stateOf(protocol: JudgedProtocol, entry: Entry): Pick<ProtocolState, "state" | "words"> {
  if (!entry.isProven) {
    const words = entry.isStopped ? "the check was stopped; not decided" : "being checked";
    return { state: "stale", words };
  }
  const { verdicts, findings } = protocol;
  const standing = findings.filter(({ accepted }) => !accepted);
  const broken = verdicts.filter(({ kind }) => kind === "broken").length;
  const undecided = verdicts.filter(({ kind }) => kind === "not-decided").length;
  const parts = [
    severitiesText(counts(standing.map(({ severity }) => severity))),
    standing.length < findings.length ? `${findings.length - standing.length} accepted` : "",
    undecided > 0 ? `${undecided} not decided` : "",
  ].filter((part) => part !== "");
  if (broken > 0) return { state: "broken", words: parts.join(", ") || "slips in the text" };
  if (undecided > 0) return { state: "not-decided", words: parts.join(", ") };
  return { state: "holds", words: `all ${verdicts.length} rules hold` };
}

function counts(severities: readonly Severity[]): Record<Severity, number> {
  const counted: Record<Severity, number> = { error: 0, unsafe: 0, doubtful: 0, advice: 0 };
  for (const severity of severities) counted[severity] += 1;
  return counted;
}
