import type { AutomatonStep, RunEvent } from "@limbwright/shared/runtime";

/**
 * An event as tests write it: "start inject local", "end inject local", "event tourniquet-pain", "leak distal", "answer no to confirm
 * distal", "answer yes to Is the block complete?".
 */
export function eventFrom(words: string): RunEvent {
  const [kind = "", ...rest] = words.split(" ");
  const what = rest.join(" ");
  switch (kind) {
    case "start":
    case "end":
      return { kind, step: stepFrom(what) };
    case "event": {
      const [name = "", cuff] = what.split(" of ");
      return { kind, event: { name, ...(cuff !== undefined && { cuff }) } };
    }
    case "leak":
      return { kind, cuff: what };
    default: {
      const [answer, ...question] = what.split(" to ");
      const asked = question.join(" to ");
      const step = asked.startsWith("confirm ")
        ? stepFrom(asked)
        : ({ kind: "ask", question: asked } as const);
      return { kind: "answer", step, answer: answer === "yes" ? "yes" : "no" };
    }
  }
}

/** A step in the words of the language; times in seconds or minutes, each of one number. */
export function stepFrom(words: string): AutomatonStep {
  const text = /^task "(.*)"$/.exec(words)?.[1];
  if (text !== undefined) return { kind: "task", text };
  const [, cuffs, cuff, time] = /^(inflate|deflate|confirm) (\S+)(?: for (.*))?$/.exec(words) ?? [];
  if (cuffs && cuff && words !== "confirm no pulse") {
    return { kind: cuffs as "inflate", cuff, ...(time && { for: secondsOf(time) }) };
  }
  const [, timed, lasting = ""] = /^(wait|watch|recovery) (\d.*)$/.exec(words) ?? [];
  if (timed) return { kind: timed as "wait", shortest: secondsOf(lasting), longest: secondsOf(lasting) };
  const [, tissue, as] = /^give (\S+) as (\S+)$/.exec(words) ?? [];
  if (tissue && as) return { kind: "give", dose: tissue, as: as as "infiltration" };
  for (const [start, member] of NAMING) {
    if (words.startsWith(`${start} `)) {
      const kind = start.replace(/ by$/, "").replaceAll(" ", "-") as AutomatonStep["kind"];
      return { kind, [member]: words.slice(start.length + 1) };
    }
  }
  return { kind: words.replaceAll(" ", "-") as AutomatonStep["kind"] };
}

const NAMING: readonly (readonly [start: string, member: keyof AutomatonStep])[] = [
  ["inject", "dose"],
  ["give", "dose"],
  ["wait for", "timer"],
  ["exsanguinate by", "method"],
  ["end stage", "stage"],
  ["stage", "stage"],
  ["go to emergency", "emergency"],
  ["do", "routine"],
];

function secondsOf(time: string): number {
  return time
    .split(/(?<=[a-z]) /)
    .map((part) => Number.parseFloat(part) * (part.endsWith("min") ? 60 : 1))
    .reduce((sum, one) => sum + one, 0);
}
