import { secondsText } from "@limbwright/shared/quantity";
import { type Automaton, type Edge, isStepClock, type Limit, wordsOfStep } from "@limbwright/shared/runtime";
import { isSame } from "./clusters.ts";
import { conditionText, guardText, lastingText, limitText } from "./words.ts";

/** What stands in a node: the step, and how long it is in hand. `around` are limits that its frame shows. */
export function locationLabel(at: number, automaton: Automaton, around: readonly Limit[]): string[] {
  const location = automaton.locations[at];
  if (!location) return [];
  if (location.kind !== "during") return [choiceText(at, automaton)];
  const ends = automaton.edges.filter(
    ({ kind, due, from }) => kind === "end" && !due && from.length === 1 && from[0] === at,
  );
  const waits = ends.flatMap(({ guard = [] }) => guard);
  const until = waits.filter(({ clock }) => !isStepClock(clock));
  const others = (location.atMost ?? []).filter(
    (limit) => !isStepClock(limit.clock) && ![...around, ...until].some((other) => isSame(limit, other)),
  );
  return [location.name, timeText(location.atMost, waits, ends.length > 0), ...others.map(limitText)];
}

/** A choice is named by the step that it belongs to; the end of a stage is not the stage. */
function choiceText(at: number, { locations, edges }: Automaton): string {
  const ways = edges.filter(({ from }) => from.length === 1 && from[0] === at);
  const [{ step } = {}] = ways;
  const isEnd = ways.some(({ kind }) => kind === "end");
  return step && !isEnd ? wordsOfStep(step) : (locations[at]?.name ?? "");
}

function timeText(atMost: readonly Limit[] = [], waits: readonly Limit[], isEnding: boolean): string {
  if (!isEnding) return "for ever";
  const until = waits.filter(({ clock }) => !isStepClock(clock));
  if (until.length > 0)
    return until.map(({ clock, seconds }) => `until ${clock} is ${secondsText(seconds)}`).join(", ");
  const [shortest] = waits;
  const longest = atMost.find(({ clock }) => isStepClock(clock));
  return lastingText(shortest?.seconds ?? 0, longest?.seconds);
}

/** What stands at an arrow: what happens, when it may, and which clock begins with it. */
export function edgeLabel(edge: Edge, automaton: Automaton): string[] {
  const { kind, guard = [], when, reset = [], from } = edge;
  const isFromStep = from.some((at) => automaton.locations[at]?.kind === "during");
  const asks = kind !== "reaches" && (edge.due || kind === "event" || !isFromStep);
  const starts = reset.filter((one) => !one.when && !isStepClock(one.clock) && !one.clock.startsWith("in "));
  return [
    happeningText(edge),
    asks && when ? conditionText(when, automaton) : "",
    ...(asks ? guard.map(guardText) : []),
    ...starts.map(({ clock }) => `${clock} from 0`),
  ].filter((words) => words !== "");
}

function happeningText({ kind, says, answer, due }: Edge): string {
  if (kind === "event" || kind === "reaches") return `when ${says}`;
  if (kind === "leak") return `at any moment: ${says}`;
  if (kind === "answer") return answer ?? says;
  return kind === "end" && due ? "its time was over in a when" : "";
}
