import type { Protocol } from "../model/index.ts";
import { meaningOfProtocol } from "../rule-file/compile.ts";
import { CHANGE_KINDS, CHANGED_PARTS, type RaisedNumber } from "./codes.ts";
import type {
  Change,
  ComparedTime,
  ComparedVersion,
  NotCompared,
  ProtocolComparison,
  VersionRaise,
} from "./comparison.ts";
import { statusText } from "./document.ts";
import { renamedBetween, renamedProtocol } from "./names.ts";
import { coveredIn } from "./patients.ts";
import { isSameInRuns, runsCompared } from "./runs.ts";
import { heldText, writtenText } from "./same.ts";
import { sectionChanges } from "./sections.ts";
import type { ComparedSideJudged, Comparing, RunsCompared, SideJudged } from "./side.ts";
import { comparableSteps, withTexts } from "./step-lists.ts";
import { decidedByRuns, stepChanges } from "./steps.ts";
import { comparedTimes } from "./times.ts";

/** `likeness` is given where two protocols of different names were taken for one because they say nearly the same. */
export type ProtocolOptions = Pick<Comparing, "likeness" | "isCancelled">;

/**
 * Compares two versions of a protocol by what they mean. Whatever cannot be compared is told, and beside it nothing is said
 * to be unchanged.
 */
export function compareProtocols(
  before: ComparedSideJudged,
  now: ComparedSideJudged,
  options: ProtocolOptions,
): ProtocolComparison {
  const renamed = renamedBetween(before.protocol, now.protocol);
  const old = comparableSteps(renamedProtocol(before.protocol, renamed));
  const recent = comparableSteps(now.protocol);
  const sides = { before: old, now: recent, covered: coveredIn(old, recent) };
  const { changes: ofSteps, replacedTexts } = stepChanges(sides);
  const difference = runsCompared(withTexts(old, replacedTexts), recent, options);
  const times = comparedTimes(before.judgement.explored.runs, now.judgement.explored.runs);
  const notCompared = [
    ...unreadIn(before, "before"),
    ...unreadIn(now, "now"),
    ...(difference.kind === "missing" ? [{ side: "both" as const, limit: difference.limit }] : []),
    ...contradicted(difference, times),
  ];
  const comparing: Comparing = {
    ...options,
    ...sides,
    judged: { before, now },
    renamed,
    difference,
    ofSteps: ofSteps.map((found) => decidedByRuns(found, difference)),
    isPartial: notCompared.length > 0,
  };
  const changes = inOrder(
    sectionChanges(comparing, before.compiled || now.compiled ? heldText : writtenText),
  );
  return {
    protocol: now.protocol.name,
    outcome: changes.length > 0 ? "changed" : notCompared.length > 0 ? "not-decided" : "nothing",
    before: versionOf(before),
    now: versionOf(now),
    changes,
    notCompared,
    times,
    version: versionRaise(before.protocol, now.protocol, changes),
  };
}

/** A net: runs that are all alike cannot have other extremes. */
function contradicted(difference: RunsCompared, times: readonly ComparedTime[]): NotCompared[] {
  const differs = times.some(({ kind }) => kind === "looser" || kind === "tighter");
  const limit =
    "the runs were found alike, and their times are not; this is a fault of the comparison, please report it";
  return isSameInRuns(difference) && difference.kind === "compared" && differs
    ? [{ side: "both", limit }]
    : [];
}

/** A protocol that only one side has. */
export function onlyOneSide(side: "added" | "removed", only: Versioned): ProtocolComparison {
  const version = versionOf(only);
  return {
    protocol: version.name,
    outcome: side,
    ...(side === "added" ? { now: version } : { before: version }),
    changes: [],
    notCompared: [],
    times: [],
    version: { needed: "none", raised: "none", isEnough: true },
  };
}

type Versioned = Pick<SideJudged, "protocol" | "compiled">;

function versionOf({ protocol, compiled }: Versioned): ComparedVersion {
  const { name, title, version, nameOrigin } = protocol;
  const status = statusText(protocol);
  const meaning = meaningOfProtocol(protocol);
  return {
    name,
    ...(title !== undefined && { title }),
    ...(version && { version: version.value }),
    ...(status !== undefined && { status }),
    origin: nameOrigin,
    ...(compiled && { ruleFile: compiled.path }),
    ...(meaning !== undefined && { meaning }),
  };
}

/** Text that was not understood may be the text that changed. */
function unreadIn(
  { protocol, inTheText, judgement }: ComparedSideJudged,
  side: "before" | "now",
): NotCompared[] {
  const errors = [...inTheText, ...judgement.findings].filter(({ severity }) => severity === "error");
  const [first] = errors;
  const which = side === "before" ? "earlier" : "later";
  if (!first && !protocol.incomplete) return [];
  const limit = first
    ? `the ${which} version has ${errors.length === 1 ? "an error" : `${errors.length} errors`}: ${first.what} What rests on it was not compared`
    : `part of the ${which} version was not understood, and was not compared`;
  return [{ side, limit, origin: first?.origin ?? protocol.nameOrigin }];
}

function inOrder(changes: readonly Change[]): Change[] {
  const place = ({ kind, part, now, before }: Change) => {
    const { line = 0, column = 0 } = (now ?? before)?.origin.start ?? {};
    return [CHANGE_KINDS.indexOf(kind), CHANGED_PARTS.indexOf(part), line, column] as const;
  };
  return [...changes].sort((a, b) => {
    const [left, right] = [place(a), place(b)];
    return left[0] - right[0] || left[1] - right[1] || left[2] - right[2] || left[3] - right[3];
  });
}

/** From the one that weighs most. */
const ORDER: readonly RaisedNumber[] = ["first", "second", "third", "none"];

/** Whether a version was raised as its changes ask. Without a version on both sides there is nothing to ask. */
function versionRaise(before: Protocol, now: Protocol, changes: readonly Change[]): VersionRaise {
  const needed = ORDER.find((number) => changes.some(({ raises }) => raises === number)) ?? "none";
  const [old, recent] = [before.version?.value, now.version?.value];
  const raised = old !== undefined && recent !== undefined ? raisedBetween(old, recent) : "none";
  return {
    ...(old !== undefined && { before: old }),
    ...(recent !== undefined && { now: recent }),
    needed,
    raised,
    isEnough: raised !== "lowered" && ORDER.indexOf(raised) <= ORDER.indexOf(needed),
  };
}

function raisedBetween(before: string, now: string): VersionRaise["raised"] {
  const [old, recent] = [before, now].map((version) => version.split(".").map(Number));
  const at = [0, 1, 2].find((place) => old?.[place] !== recent?.[place]);
  if (at === undefined) return "none";
  return (recent?.[at] ?? 0) > (old?.[at] ?? 0) ? (ORDER[at] ?? "none") : "lowered";
}
