import type { Origin, Repair, TextChange } from "@limbwright/shared/finding";
import { inBase, secondsText } from "@limbwright/shared/quantity";
import { type Handler, type Protocol, type Step, stepsWithin, type Timer } from "../../model/index.ts";
import { linesBefore, needsALook } from "../../model/text-changes.ts";
import { timingOf } from "../engine/runs-for.ts";
import { longestTime } from "./longest-time.ts";
import { beforeRounds, standingOf } from "./step-repairs.ts";

type Stage = Extract<Step, { readonly kind: "stage" }>;
type Reaching = Extract<Handler, { readonly kind: "reaches" }>;

/** A stage that has to end by a timer for the release behind it to come in time. */
interface ToEnd {
  readonly stage: Stage;
  readonly timer: Timer;
  /** What the timer shows when the stage ends, in seconds. */
  readonly at: number;
}

/** A round time, which is remembered. */
const ROUND = 5 * 60;
/** For whoever takes over to get ready. Common practice. */
const NOTICE = 10 * 60;

/**
 * The repair that ends by a timer the one stage that may last until the release is too late, with a decision on another anaesthetic
 * well before it; where a timer ends it already, that is told a shorter time. `occlusion` is the most since the first inflation, in
 * seconds. None where no round time is left after the timer's minimum.
 */
export function repairByEndingStage(protocol: Protocol, release: Origin, occlusion?: number): Repair[] {
  const wanted = stageToEnd(protocol, release, occlusion);
  if (!wanted) return [];
  const { stage, timer, at } = wanted;
  const reaching = stage.handlers.filter((one) => one.kind === "reaches");
  const [ending, another] = reaching.filter(({ steps }) => steps.some(({ kind }) => kind === "end-stage"));
  const isDecided = [...protocol.throughout, ...reaching].some(asksForDecision);
  const end = ending ? reachedSooner(ending, timer, at) : writtenEnd(wanted, isDecided);
  if (end.length === 0 || another) return [];
  const decided = reaching.filter(asksForDecision).flatMap((one) => reachedSooner(one, timer, at - NOTICE));
  const title = `Let \`${stage.name}\` end when \`${timer.name}\` reaches ${secondsText(at)}`;
  const isWithDecision = !isDecided || decided.length > 0;
  const before = isWithDecision
    ? `, with a decision on another anaesthetic ${secondsText(NOTICE)} before`
    : "";
  return needsALook(`${title}${before}`, ...end, ...decided);
}

function reachedSooner({ timer, limit }: Reaching, wanted: Timer, seconds: number): TextChange[] {
  const isLater = timer === wanted.name && inBase(limit).compare(seconds) > 0;
  return isLater ? [{ origin: limit.origin, text: secondsText(seconds) }] : [];
}

function writtenEnd({ stage, timer, at }: ToEnd, isDecided: boolean): TextChange[] {
  const decision = [
    `when ${timer.name} reaches ${secondsText(at - NOTICE)} {`,
    '  task anaesthetic-decision "Will it end in time? If not, another anaesthetic" by "anaesthetist"',
    "}",
  ];
  const end = [`when ${timer.name} reaches ${secondsText(at)} {`, "  end stage", "}"];
  return writtenIn(stage, isDecided ? end : [...decision, ...end]);
}

function asksForDecision({ kind, steps }: Handler): boolean {
  return (
    kind === "reaches" &&
    [...stepsWithin(steps)].some((step) => step.kind === "task" && step.topic === "anaesthetic-decision")
  );
}

/** Before the first answer of the stage, else before its first step: where a step ends, its first line does not tell. */
function writtenIn({ handlers, steps }: Stage, lines: readonly string[]): TextChange[] {
  const first = handlers[0] ?? steps[0];
  return first ? [linesBefore(first.origin, lines)] : [];
}

function stageToEnd(protocol: Protocol, release: Origin, occlusion: number | undefined): ToEnd | undefined {
  const standing = standingOf(protocol, beforeRounds(protocol, release));
  if (!standing) return undefined;
  const { list, at: releaseAt } = standing;
  const injectAt = list.slice(0, releaseAt).findLastIndex(({ kind }) => kind === "inject");
  const between = list.slice(injectAt + 1, releaseAt);
  const timing = timingOf(protocol);
  const long = (steps: readonly Step[]) => longestTime(steps, protocol, timing);
  const [stage, another] = between.filter((step) => step.kind === "stage");
  const timer = timerFrom(protocol, list[injectAt]);
  if (!stage || another || !timer) return undefined;
  const stageAt = between.indexOf(stage);
  // The wait for the same timer is over by then, as the stage ends only after its minimum.
  const behind = between
    .slice(stageAt + 1)
    .filter((step) => step.kind !== "wait-for" || step.timer !== timer.name);
  const answers = [...stage.handlers, ...protocol.throughout].map(({ steps }) => long(steps));
  const room = long([...behind, ...list.slice(releaseAt, releaseAt + 1)]) + Math.max(0, ...answers);
  const firstUp = list.findIndex((step) => [...stepsWithin([step])].some(({ kind }) => kind === "inflate"));
  const before = firstUp < 0 ? Number.POSITIVE_INFINITY : long(list.slice(firstUp, injectAt + 1));
  const latest = Math.min(
    timer.atMost ? inBase(timer.atMost).valueOf() : Number.POSITIVE_INFINITY,
    occlusion === undefined ? Number.POSITIVE_INFINITY : occlusion - before,
  );
  const at = Math.floor((latest - room) / ROUND) * ROUND;
  const least = Math.max(timer.atLeast ? inBase(timer.atLeast).valueOf() : 0, NOTICE + ROUND);
  const isInTime = Number.isFinite(at) && at >= least && long(between.slice(0, stageAt)) < at;
  return isInTime ? { stage, timer, at } : undefined;
}

/** The timer that counts from the end of an injection: the one with a maximum, where one has one. */
function timerFrom({ timers }: Protocol, inject: Step | undefined): Timer | undefined {
  if (inject?.kind !== "inject") return undefined;
  const counting = timers.filter(({ from }) => from?.kind === "end" && from.target === inject.dose);
  return counting.find(({ atMost }) => atMost) ?? counting[0];
}
