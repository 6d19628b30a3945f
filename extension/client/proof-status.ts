import type { ProofState, ProtocolState } from "@limbwright/shared/editor";

/** What the status bar says of a text, or of all protocols where the text has none. */
export interface ProofStatus {
  /** `$(…)` is an icon of the editor. */
  readonly text: string;
  /** The same in words alone, for a screen reader. */
  readonly spoken: string;
  readonly lines: readonly string[];
  readonly alarm: ProtocolState["alarm"];
}

type State = ProtocolState["state"];

/** The worst first: what is broken outweighs what is not decided, and only where all hold is that said. */
const WORST_FIRST: readonly State[] = ["broken", "not-decided", "stale", "holds"];

/** The loudest first. */
const ALARMS: readonly ProofStatus["alarm"][] = ["error", "warning", "none"];

const ICONS: Readonly<Record<Exclude<State, "broken">, string>> = {
  "not-decided": "$(question)",
  stale: "$(history)",
  holds: "$(check)",
};

const WORDS: Readonly<Record<State, string>> = {
  broken: "broken",
  "not-decided": "not decided, which is not a pass",
  stale: "not checked as it stands now",
  holds: "all rules hold",
};

/** Undefined where nothing is known of any protocol. */
export function proofStatus(
  { isRunning, protocols, filesLeft }: ProofState,
  uri: string | undefined,
): ProofStatus | undefined {
  const here = protocols.filter((one) => one.uri === uri);
  const told = here.length > 0 ? here : protocols;
  const left = here.length > 0 ? 0 : filesLeft;
  const known = WORST_FIRST.find((state) => told.some((one) => one.state === state));
  // Where files are left, it is not known of all protocols that their rules hold.
  const worst = left > 0 && (known === undefined || known === "holds") ? "stale" : known;
  if (worst === undefined) return undefined;
  const words = worst === known ? wordsOf(told, worst) : wordsForLeft(left, isRunning);
  const alarm = ALARMS.find((one) => told.some((state) => state.alarm === one)) ?? "none";
  const icon = iconOf(worst, alarm, isRunning);
  return {
    text: `${icon} ${words}`,
    spoken: `Limbwright: ${words}`,
    lines: [
      ...told.map(({ protocol, state, words: own }) => `${protocol}: ${own} (${WORDS[state]})`),
      ...(left > 0 ? [`${wordsForLeft(left, isRunning)}.`] : []),
    ],
    alarm,
  };
}

function iconOf(worst: State, alarm: ProofStatus["alarm"], isRunning: boolean): string {
  if (alarm === "error") return "$(error)";
  // An advice is no alarm, so it does not look like one.
  if (worst === "broken") return alarm === "warning" ? "$(warning)" : "$(info)";
  return worst === "stale" && isRunning ? "$(sync~spin)" : ICONS[worst];
}

function wordsForLeft(count: number, isRunning: boolean): string {
  const files = `${count} ${count === 1 ? "file" : "files"}`;
  return isRunning ? `${files} still to be checked` : `${files} not checked, which is not a pass`;
}

function wordsOf(told: readonly ProtocolState[], worst: State): string {
  const [only] = told;
  if (told.length === 1 && only) return `${only.protocol}: ${only.words}`;
  const count = told.filter(({ state }) => state === worst).length;
  if (worst === "holds") return `${count} protocols: ${WORDS.holds}`;
  return `${count} of ${told.length} protocols: ${WORDS[worst]}`;
}
