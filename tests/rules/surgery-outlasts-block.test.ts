import { describe, expect, test } from "vitest";
import { checkExample } from "./page-examples.ts";

const RULE = "surgery-outlasts-block";
const DECISION = 'task anaesthetic-decision "If not in time, another anaesthetic" by "anaesthetist"';

interface Drawn {
  /** What is in force in the stage, beside what ends it. */
  readonly asks?: string;
  /** What ends the work there. */
  readonly ends?: string;
  /** What the stage says of its own times. */
  readonly takes?: string;
  /** What is done before the stage, after the injection. */
  readonly before?: string;
  readonly timers?: string;
  /** Around the stage, instead of it alone. */
  readonly around?: (stage: string) => string;
}

const CUT = "when hold reaches 45 min {\nend stage\n}";

function labels({ asks = "", ends = CUT, takes = "", before = "wait 5 min", timers = "", around }: Drawn) {
  const stage = `stage procedure ${takes} {\ntask "Reduce and splint" takes 5 min or more\n${asks}\n${ends}\n}`;
  const steps = `apply cuffs\ninsert cannula\nexsanguinate by elevation 1 min\ninflate proximal\nconfirm proximal\ninject local
${before}\n${around?.(stage) ?? stage}\nwait for hold\ndo staged-release\nrecovery 30 min`;
  const { check } = checkExample(`${timers}\nsteps {\n${steps}\n}`, { about: [RULE] });
  expect(check.findings.filter(({ severity }) => severity === "error")).toEqual([]);
  return check.findings.filter(({ rule }) => rule === RULE).map(({ label }) => label);
}

const decided = (when: string, what = DECISION) => `when ${when} {\n${what}\n}`;
const CUFF_TIME = "timer cuff-time from first inflation {\nat most 60 min\n}";
const AT_WORK = "timer at-work from start of procedure {\nat most 50 min\n}";

describe("a decision on another anaesthetic counts", () => {
  test.each<[string, Drawn]>([
    ["10 min before", { asks: decided("hold reaches 35 min") }],
    [
      "asked by who is in the other stage around",
      { around: (stage) => `stage around {\n${stage}\n${decided("hold reaches 30 min")}\n}` },
    ],
    ["by another timer that began before", { timers: CUFF_TIME, asks: decided("cuff-time reaches 35 min") }],
    [
      "by another timer that began later, but not too late",
      {
        timers: CUFF_TIME,
        asks: decided("hold reaches 20 min"),
        ends: "when cuff-time reaches 45 min {\nend stage\n}",
      },
    ],
    [
      "before a stage's own longest time",
      { takes: "takes 5 min to 40 min", ends: "", asks: decided("hold reaches 35 min") },
    ],
    [
      "by the time in the stage",
      { timers: AT_WORK, takes: "takes 5 min to 40 min", ends: "", asks: decided("at-work reaches 30 min") },
    ],
    [
      "in both branches",
      {
        asks: decided(
          "hold reaches 30 min",
          `ask "In time?" {\nyes {\n${DECISION}\n}\nno {\n${DECISION}\n}\n}`,
        ),
      },
    ],
    [
      "by a routine",
      { asks: decided("hold reaches 30 min", "do decide"), timers: `routine decide {\n${DECISION}\n}` },
    ],
    [
      "that takes as long as an action",
      { asks: decided("hold reaches 35 min", `${DECISION} takes 10 s to 1 min`) },
    ],
    [
      "by both",
      { asks: decided("hold reaches 35 min", DECISION.replace("anaesthetist", "surgeon and anaesthetist")) },
    ],
    [
      "where an emergency ends the work",
      {
        asks: decided("hold reaches 35 min"),
        ends: "when hold reaches 45 min {\ngo to emergency toxicity\n}",
      },
    ],
  ])("%s", (_, drawn) => {
    expect(labels(drawn)).toEqual([]);
  });
});

describe("a decision on another anaesthetic does not count", () => {
  const late = "no decision in good time";
  test.each<[string, Drawn, string]>([
    ["where there is none", {}, late],
    ["less than 10 min before", { asks: decided("hold reaches 36 min") }, late],
    ["that takes long", { asks: decided("hold reaches 33 min", `${DECISION} takes 5 min to 20 min`) }, late],
    [
      "that takes as long as it likes",
      { asks: decided("hold reaches 20 min", `${DECISION} takes 1 min or more`) },
      late,
    ],
    [
      "behind something that takes long",
      { asks: decided("hold reaches 30 min", `task "Count" takes 1 min to 15 min\n${DECISION}`) },
      late,
    ],
    [
      "by another timer that began later",
      {
        timers: CUFF_TIME,
        asks: decided("hold reaches 35 min"),
        ends: "when cuff-time reaches 45 min {\nend stage\n}",
      },
      late,
    ],
    [
      "before a stage's own longest time, too late",
      { takes: "takes 5 min to 40 min", ends: "", asks: decided("hold reaches 36 min") },
      late,
    ],
    [
      "by the time in the stage, too late",
      { timers: AT_WORK, takes: "takes 5 min to 40 min", ends: "", asks: decided("at-work reaches 31 min") },
      late,
    ],
    ["by an event", { asks: decided("patient-distress once") }, late],
    [
      "by the surgeon",
      { asks: decided("hold reaches 30 min", DECISION.replace("anaesthetist", "surgeon")) },
      "the operator decides",
    ],
    [
      "by whoever operates here",
      {
        asks: decided("hold reaches 30 min", DECISION.replace("anaesthetist", "registrar")),
        before: 'task "Reduce the fracture" by "registrar" takes 5 min to 6 min',
      },
      "the operator decides",
    ],
    [
      "by nobody",
      { asks: decided("hold reaches 30 min", DECISION.replace(/ by .*/, "")) },
      "nobody is named who decides",
    ],
    [
      "in one branch",
      { asks: decided("hold reaches 30 min", `ask "In time?" {\nyes {\n}\nno {\n${DECISION}\n}\n}`) },
      "decided in one branch only",
    ],
    [
      "in one branch of a routine",
      {
        asks: decided("hold reaches 30 min", "do decide"),
        timers: `routine decide {\nask "In time?" {\nyes {\n}\nno {\n${DECISION}\n}\n}\n}`,
      },
      "decided in one branch only",
    ],
  ])("%s", (_, drawn, label) => {
    expect(labels(drawn)).toEqual([label]);
  });
});
