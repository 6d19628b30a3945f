import { make } from "./dom.js";
import { clock } from "./words.js";

/** What is in hand, what is so, and what should have been over: in sentences. */
export function nowLines({ inHand, isOver, facts, overdue, alarms, coming }) {
  const place = isOver
    ? "Everything is done."
    : inHand === undefined
      ? "Between two steps: the next one starts now."
      : `In hand: ${inHand}.`;
  // What is only so or not so is how the automaton remembers; what has a name of its own, a team can see.
  const so = Object.entries(facts).filter(([, value]) => value !== "no" && value !== "yes");
  return [
    make("p", { class: "in-hand" }, place),
    make("p", { class: "aside" }, `${so.map((fact) => fact.join(" ")).join("; ")}.`),
    ...overdue.map(({ says, since }) =>
      make("p", {}, make("strong", {}, `Overdue since ${clock(since)}: ${says}.`)),
    ),
    ...alarms.map(({ rule, since }) =>
      make(
        "p",
        {},
        make("strong", {}, `Against ${rule}${since === undefined ? "" : ` since ${clock(since)}`}.`),
      ),
    ),
    ...coming.map(({ says, at }) => make("p", { class: "aside" }, `At ${clock(at)} by itself: ${says}.`)),
  ];
}

/** What each clock shows, and the times that rules ask of it: one line for each time, with the rules. */
export function timerLines({ timers }) {
  return timers
    .filter((timer) => !isToldBy(timers, timer))
    .map(({ name, kind, seconds, bounds }) => {
      const shown = seconds === undefined ? "does not run yet" : clock(seconds);
      const lines = Map.groupBy(bounds, ({ is, seconds: of }) => `${is.replace("-", " ")} ${clock(of)}`);
      const asked = [...lines].map(([words, [first, ...others]]) => {
        const time = first.reachedAt === undefined ? "" : `, which is at ${clock(first.reachedAt)}`;
        return make("li", {}, `${words}${time}: ${[first, ...others].map(({ rule }) => rule).join(", ")}`);
      });
      const title = name === undefined ? CLOCKS[kind] : `The protocol's clock ${name}`;
      return make(
        "div",
        {},
        make("p", {}, `${title}: ${shown}`),
        ...(asked.length > 0 ? [make("ul", {}, ...asked)] : []),
      );
    });
}

/** Whether a clock of the protocol shows the same time and all that is asked of this one, which has no name. */
function isToldBy(timers, { name, seconds, bounds }) {
  const keyOf = ({ rule, is, seconds: of }) => `${rule} ${is} ${of}`;
  const tells = (other) => {
    const told = new Set(other.bounds.map(keyOf));
    return (
      other.name !== undefined && other.seconds === seconds && bounds.every((bound) => told.has(keyOf(bound)))
    );
  };
  return name === undefined && timers.some(tells);
}

const CLOCKS = { hold: "Since the injection ended", occlusion: "Since the first inflation" };
