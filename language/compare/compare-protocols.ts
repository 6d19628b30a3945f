import type { Finding } from "@limbwright/shared/finding";
import { meaningOfProtocol } from "../rule-file/compile.ts";
import type { Runs } from "../runs/index.ts";
import { assumptionChanges } from "./assumptions.ts";
import { catalogueChanges, type SideOfThen } from "./catalogue-changes.ts";
import { CHANGE_KINDS, type Change, type ChangedPart } from "./change.ts";
import { comparableSteps, withTexts } from "./changed-steps.ts";
import type { ComparedTime, ComparedVersion, NotCompared, ProtocolComparison } from "./comparison.ts";
import { cuffChanges } from "./cuffs.ts";
import { documentChanges, nameChange, renamedChanges, statusText } from "./document.ts";
import { doseChanges } from "./doses.ts";
import { drugChanges } from "./drugs.ts";
import type { Likeness } from "./likeness.ts";
import { localRuleChanges } from "./local-rules.ts";
import { renamedBetween, renamingOf } from "./names.ts";
import { coveredIn, patientChanges } from "./patients.ts";
import { readinessChanges } from "./readiness.ts";
import { renamedProtocol } from "./renamed-protocol.ts";
import { requirementChanges } from "./requirements.ts";
import { type RunOptions, type RunsCompared, runChanges, runsCompared } from "./runs.ts";
import { heldText, writtenText } from "./same.ts";
import { type Both, changeOf, type FoundChange, type SideJudged, type Sides } from "./side.ts";
import { decidedByRuns } from "./step-decision.ts";
import { stepChanges } from "./steps.ts";
import { textChanges } from "./texts.ts";
import { timerChanges } from "./timers.ts";
import { comparedTimes, releaseChanges } from "./times.ts";
import { unsaidChanges } from "./unsaid.ts";
import { verdictChanges } from "./verdicts.ts";
import { versionRaise } from "./version.ts";

/** A judged version with what was found wrong in the texts it is made from. */
export interface ComparedSideJudged extends SideOfThen {
  readonly inTheText: readonly Finding[];
}

export interface ProtocolOptions extends RunOptions {
  /** Given where two protocols of different names were taken for one because they say nearly the same. */
  readonly likeness?: Likeness;
}

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
  const old = comparableSteps(renamedProtocol(before.protocol, renamingOf(renamed)));
  const recent = comparableSteps(now.protocol);
  const sides: Sides = { before: old, now: recent, covered: coveredIn(old, recent) };
  const told = (part: ChangedPart, found: readonly FoundChange[]) => found.map((one) => changeOf(part, one));
  const { changes: ofSteps, replacedTexts } = stepChanges(sides);
  const difference = runsCompared(withTexts(old, replacedTexts), recent, options);
  const times = timesOf(before, now);
  const notCompared = [
    ...unreadIn(before, "before"),
    ...unreadIn(now, "now"),
    ...(difference.kind === "missing" ? [{ side: "both" as const, limit: difference.limit }] : []),
    ...contradicted(difference, times),
  ];
  const found = [
    ...told("document", [
      ...nameChange(before.protocol, now.protocol, options.likeness),
      ...documentChanges({ ...sides, before: before.protocol }),
      ...renamedChanges(renamed),
    ]),
    ...told("indication", textChanges("indication", old.indications, now.protocol.indications)),
    ...told("patients", patientChanges(sides)),
    ...told("drug", drugChanges(sides)),
    ...told("dose", doseChanges(sides)),
    ...told("cuffs", cuffChanges(sides)),
    ...told("timer", timerChanges(sides, runsOf(before, now))),
    ...told("readiness", readinessChanges(sides)),
    ...ofSteps.map((change) => changeOf(change.part, decidedByRuns(change, difference))),
    ...told("runs", runChanges(difference)),
    ...told("runs", isSame(difference) ? [] : releasesCompared(before, now)),
    ...told("requirement", requirementChanges(sides)),
    ...told("local-rules", localRuleChanges(sides, recordedIn(before, now))),
    ...told("verdict", catalogueChanges(before, now)),
    ...told("verdict", notCompared.length > 0 ? [] : verdictChanges(before, now)),
    ...told(
      "verdict",
      isSame(difference)
        ? []
        : assumptionChanges(before, now, { ...(renamed.length > 0 && { renamed: old }), ...options }),
    ),
  ];
  const written = before.compiled || now.compiled ? heldText : writtenText;
  const changes = inOrder([...found, ...unsaidChanges(old, recent, found, written)]);
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
  return isSame(difference) && difference.kind === "compared" && differs ? [{ side: "both", limit }] : [];
}

/** Whether both allow the same runs, so that their proofs lean on the same. */
function isSame(difference: RunsCompared): boolean {
  return (
    difference.kind === "missing" ||
    (difference.kind === "compared" && difference.gained.length + difference.lost.length === 0)
  );
}

function runsOf(before: SideJudged, now: SideJudged): Both<Runs> {
  return { before: before.judgement.explored.runs, now: now.judgement.explored.runs };
}

function releasesCompared(before: SideJudged, now: SideJudged): FoundChange[] {
  return releaseChanges(before.judgement.explored.runs, now.judgement.explored.runs);
}

function timesOf(before: SideJudged, now: SideJudged) {
  return comparedTimes(before.judgement.explored.runs, now.judgement.explored.runs);
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

/** What the rule files say of their own proofs. */
function recordedIn({ compiled: before }: SideOfThen, { compiled: now }: SideOfThen) {
  return { ...(before && { before: before.file.proof }), ...(now && { now: now.file.proof }) };
}

type Versioned = Pick<SideOfThen, "protocol" | "compiled">;

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

const PARTS: readonly ChangedPart[] = [
  "patients",
  "drug",
  "dose",
  "cuffs",
  "timer",
  "runs",
  "steps",
  "emergency",
  "readiness",
  "requirement",
  "local-rules",
  "verdict",
  "indication",
  "document",
];

function inOrder(changes: readonly Change[]): Change[] {
  const place = ({ kind, part, now, before }: Change) => {
    const { line = 0, column = 0 } = (now ?? before)?.origin.start ?? {};
    return [CHANGE_KINDS.indexOf(kind), PARTS.indexOf(part), line, column] as const;
  };
  return [...changes].sort((a, b) => {
    const [left, right] = [place(a), place(b)];
    return left[0] - right[0] || left[1] - right[1] || left[2] - right[2] || left[3] - right[3];
  });
}
