import { make } from "./dom.js";
import { clock } from "./words.js";

/** What is in hand, what is so, and what should have been over: in sentences. */
export function nowLines({ inHand, isOver, facts, overdue, alarms, coming }) {
  const place = isOver
    ? "Everything is done."
    : inHand === undefined
      ? "Between two steps: the next one starts now."
      : `In hand: ${inHand}.`;
  const so = Object.entries(facts)
    .filter(([, value]) => value !== "no")
    .map(([name, value]) => (value === "yes" ? name : `${name} ${value}`));
  return [
    make("p", { class: "in-hand" }, place),
    make("p", { class: "aside" }, so.length === 0 ? "" : `${so.join("; ")}.`),
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

/** What each clock shows, and the times that rules ask of it. */
export function timerLines({ timers }) {
  return timers.map(({ name, kind, seconds, bounds }) => {
    const shown = seconds === undefined ? "does not run yet" : clock(seconds);
    const asked = bounds.map(({ rule, is, seconds: of, reachedAt }) => {
      const time = reachedAt === undefined ? "" : `, which is at ${clock(reachedAt)}`;
      return make("li", {}, `${is === "at-least" ? "at least" : "at most"} ${clock(of)}${time} (${rule})`);
    });
    return make(
      "div",
      { class: "clock" },
      make("p", {}, `${name ?? kind}: ${shown}`),
      ...(asked.length > 0 ? [make("ul", {}, ...asked)] : []),
    );
  });
}
