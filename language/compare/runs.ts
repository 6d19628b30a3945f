import { type Origin, originKey } from "@limbwright/shared/finding";
import { clockText } from "@limbwright/shared/quantity";
import type { Protocol } from "../model/index.ts";
import { runEvidence } from "../rules/engine/over-runs.ts";
import { timingOf } from "../rules/engine/runs-for.ts";
import {
  buildAutomaton,
  type RunBeyond,
  type RunDifference,
  runDifference,
  type TracedAutomaton,
  whyNoRuns,
} from "../runs/index.ts";
import type { RunConcerned } from "./comparison.ts";
import { type Comparing, type FoundChange, kindOf, type RunsCompared } from "./side.ts";
import { releaseChanges } from "./times.ts";

/** Whether both allow the same runs, and if not, runs that show it. */
export function runsCompared(
  before: Protocol,
  now: Protocol,
  options: Pick<Comparing, "isCancelled">,
): RunsCompared {
  const missing = whyNoRuns(before) ?? whyNoRuns(now);
  if (missing) return { kind: "missing", limit: missing.limit };
  const [old, recent] = [automaton(before), automaton(now)];
  const isSame = JSON.stringify(old.automaton) === JSON.stringify(recent.automaton);
  const difference: RunDifference = isSame
    ? { kind: "compared", gained: [], lost: [] }
    : runDifference(old, recent, options);
  return { ...difference, isInSomeRun: (side, origin) => isBuilt(side === "before" ? old : recent, origin) };
}

function automaton(protocol: Protocol): TracedAutomaton {
  return buildAutomaton(protocol, { timing: timingOf(protocol), watchers: [] });
}

/** Whether a step or a handler stands anywhere in the automaton: what answers a leak, or what nothing leads to, does not. */
function isBuilt({ elements }: TracedAutomaton, origin: Origin): boolean {
  const key = originKey(origin);
  return elements.some((element) => element.edges.length > 0 && originKey(element.origin) === key);
}

/** Runs beyond these few show no more than these. */
const MOST_SHOWN = 3;

/** Whether both allow the same runs, so that their proofs lean on the same. */
export function isSameInRuns(difference: RunsCompared): boolean {
  return (
    difference.kind === "missing" ||
    (difference.kind === "compared" && difference.gained.length + difference.lost.length === 0)
  );
}

/** What the runs as a whole gained and lost, and an earlier or a later release. */
export function runChanges({ difference, judged }: Comparing): FoundChange[] {
  if (isSameInRuns(difference)) return [];
  const [before, now] = [judged.before, judged.now].map(({ judgement }) => judgement.explored.runs);
  return [...wholeChanges(difference), ...(before && now ? releaseChanges(before, now) : [])];
}

function wholeChanges(difference: RunsCompared): FoundChange[] {
  if (difference.kind === "missing") return [];
  if (difference.kind === "not-decided") {
    return [
      {
        code: "runs",
        kind: "different",
        about: ABOUT,
        what: `Whether both versions allow the same runs was not decided: ${difference.limit}.`,
        notDecided: difference.limit,
      },
    ];
  }
  const { gained, lost } = difference;
  const inTime = (runs: readonly RunBeyond[]) => runs.filter(({ reason }) => reason === "time");
  const ofOrder = [...gained, ...lost].some(({ reason }) => reason === "order");
  const isLooser = inTime(gained).length > 0;
  return [
    {
      code: "runs",
      kind: ofOrder && !isLooser ? "different" : kindOf(isLooser, lost.length > 0),
      about: ABOUT,
      what: sentence(isLooser, inTime(lost).length > 0, ofOrder),
      evidence: [...shown(gained, "gained"), ...shown(lost, "lost")],
    },
  ];
}

const ABOUT = "runs";

function sentence(isLooser: boolean, isTighter: boolean, ofOrder: boolean): string {
  const times = [
    ...(isLooser ? ["Steps may come at times at which they could not before."] : []),
    ...(isTighter ? ["Steps may no longer come at times at which they could before."] : []),
    ...(ofOrder
      ? ["Other steps come, or come in another order; what follows them is not compared time by time."]
      : []),
  ];
  return times.join(" ");
}

/** Those first in which the team does something at another time: they show best what is looser. */
function shown(runs: readonly RunBeyond[], side: RunConcerned["side"]): RunConcerned[] {
  const rank = ({ reason, run }: RunBeyond) =>
    2 * Number(reason === "order") + Number(run.steps.at(-1)?.kind === "event");
  const ordered = [...runs].sort((a, b) => rank(a) - rank(b));
  return ordered
    .slice(0, MOST_SHOWN)
    .map((one) => ({ kind: "run", side, run: runEvidence(one.run), other: otherText(one, side) }));
}

/** "Before, `deflate proximal` could come here only from 21:00 on." */
function otherText({ otherwise, run, says }: RunBeyond, side: RunConcerned["side"]): string {
  const begin = side === "gained" ? `Before, \`${says}\` could` : `Now, \`${says}\` can`;
  const at = run.steps.at(-1)?.at ?? 0;
  if (otherwise.length === 0) return `${begin} not come here at all.`;
  const later = otherwise.filter(({ from, after }) => from > at || (from === at && after));
  const earliest = later.map(({ from }) => from).sort((a, b) => a - b)[0];
  if (earliest !== undefined) return `${begin} come here only from ${clockText(earliest)} on.`;
  const latest = otherwise.flatMap(({ to }) => to ?? []).sort((a, b) => b - a)[0];
  return latest === undefined
    ? `${begin} not come here at that time.`
    : `${begin} come here only up to ${clockText(latest)}.`;
}
