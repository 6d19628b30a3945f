import { secondsText } from "@limbwright/shared/quantity";
import type { Automaton, ClockCondition, Condition, Limit } from "@limbwright/shared/runtime";
import { cuffOf } from "../../runs/index.ts";

/** How long a step is in hand: "90 s to 3 min", "up to 15 s", "5 min or more". */
export function lastingText(shortest: number, longest: number | undefined): string {
  if (longest === undefined) return shortest === 0 ? "any time" : `${secondsText(shortest)} or more`;
  if (longest === shortest) return secondsText(longest);
  return shortest === 0
    ? `up to ${secondsText(longest)}`
    : `${secondsText(shortest)} to ${secondsText(longest)}`;
}

/** "at most 45 min in procedure". */
export function limitText({ clock, seconds }: Limit): string {
  return `at most ${secondsText(seconds)} ${clockText(clock)}`;
}

/** "hold at least 30 min". */
export function guardText({ clock, is, seconds }: ClockCondition): string {
  return `${is.replace("-", " ")} ${secondsText(seconds)} ${clockText(clock)}`;
}

/** Clocks of stages are named by where they count; the others by what they are. */
function clockText(clock: string): string {
  return clock.startsWith("in ") ? clock : `on ${clock}`;
}

/** A condition on variables in words; empty where it says nothing to a reader of a picture. */
export function conditionText(condition: Condition, automaton: Pick<Automaton, "variables">): string {
  const textsOf = (all: readonly Condition[]) =>
    all.map((one) => conditionText(one, automaton)).filter((words) => words !== "");
  if ("all" in condition) return textsOf(condition.all).join(" and ");
  if ("any" in condition) return textsOf(condition.any).join(" or ");
  if ("not" in condition) return oppositeText(condition.not, automaton);
  if ("at" in condition || "interrupted" in condition) return "";
  const { variable } = condition;
  if (UNSAID.test(variable)) return "";
  if ("atLeast" in condition) return atLeastText(variable, condition.atLeast);
  const values = automaton.variables.find(({ name }) => name === variable)?.values;
  const value = values?.[condition.is] ?? `${condition.is}`;
  const cuff = cuffOf(variable);
  if (cuff !== undefined) return `${cuff} ${value}`;
  if (value === "yes") return variable === "in force" ? IN_FORCE : after(variable);
  return value === "no" ? `not ${variable}` : `${variable} ${value}`;
}

function oppositeText(condition: Condition, automaton: Pick<Automaton, "variables">): string {
  if ("variable" in condition && "atLeast" in condition) {
    const { variable, atLeast } = condition;
    const cuff = cuffOf(variable);
    if (cuff !== undefined) return `${cuff} flat`;
    if (variable.startsWith("times ")) return atLeast === 1 ? "once" : `up to ${atLeast} times`;
    return `${roundsOrName(variable)} under ${atLeast}`;
  }
  if ("variable" in condition && condition.variable.endsWith(HAS_BEEN)) {
    return `before ${condition.variable.slice(0, -HAS_BEEN.length)}`;
  }
  const words = conditionText(condition, automaton);
  return words === "" ? "" : `not ${words}`;
}

function atLeastText(variable: string, least: number): string {
  const cuff = cuffOf(variable);
  return cuff === undefined ? `${roundsOrName(variable)} at least ${least}` : `${cuff} up`;
}

function roundsOrName(variable: string): string {
  return variable.startsWith("round ") ? "rounds" : variable;
}

/** What only tells that something is due, or has been. */
const UNSAID = /^(touched \d+|leaked|leak waits)$/;

const IN_FORCE = "from the first inflation to the end of recovery";

const HAS_BEEN = " has been";

function after(variable: string): string {
  return variable.endsWith(HAS_BEEN) ? `after ${variable.slice(0, -HAS_BEEN.length)}` : variable;
}
