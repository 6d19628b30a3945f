import { describe, expect, test } from "vitest";
import type { Instant } from "../../../../language/runs/index.ts";
import { ruled } from "../broken-rules.ts";
import { protocolOf, runsOf } from "../small-protocol.ts";
import { begin } from "./walk.ts";

const FIRE = 'emergency fire "Fire" {\ntask "Leave" takes 1 min\n}';
const READY = "insert cannula\ninflate all\nconfirm all\ninject local";
const SIGNS = "throughout {\nwhen toxicity-signs {\ngo to emergency fire\n}\n}";
const HOLD = "timer hold from end of local {\nat least 30 min\n}";
const RELEASE = "wait for hold\ndeflate all\nrecovery 1 h";

/** A sound plan in which something leads to an emergency, and what is done there. */
function withEmergency(leading: string, steps: string) {
  return ruled({
    steps: `${READY}\nstage procedure {\ntask "Work" takes 5 min\n${leading}\n}\n${RELEASE}`,
    more: `${HOLD}\nemergency fire "Fire" {\n${steps}\n}`,
  }).broken.filter((rule) => OF_THE_CUFF.includes(rule));
}

const OF_THE_CUFF = ["early-release", "no-cuff-up", "occlusion-too-long", "recovery-too-short"];

describe("an emergency", () => {
  test("ends the run when its steps are done: nothing leads back to the plan", () => {
    const walk = begin({ steps: "go to emergency fire\nwait 2 min", more: FIRE });
    walk.happens('task "Leave" ends', "1:00").happens("the protocol ends", "1:00");
    expect([walk.inHand, walk.may]).toEqual(["the end", []]);
    expect(ruled({ steps: "go to emergency fire\nwait 2 min", more: FIRE }).unreached).toEqual([
      "wait 2 min",
    ]);
  });

  test("may lead to another", () => {
    const more = `emergency smoke "Smoke" {\ntask "Look" takes 1 min\ngo to emergency fire\n}\n${FIRE}`;
    const walk = begin({ steps: "go to emergency smoke", more }).happens('task "Look" ends', "1:00");
    expect(walk.now).toBe('task "Leave" at 1:00');
  });

  test("has its own stages interrupted by their own handlers", () => {
    const more =
      'emergency fire "Fire" {\nstage way-out {\ntask "Leave" takes 1 min\nwhen rain {\nwait 1 s\n}\n}\n}';
    const walk = begin({ steps: "go to emergency fire", more });
    expect(walk.happens("rain", "0:10").happens("wait 1 s ends", "0:11").may).toEqual([
      "rain 0:11 to 1:00",
      'task "Leave" ends at 1:00',
    ]);
  });
});

describe("after toxicity signs an emergency", () => {
  test("has no handler of `throughout` in force: it is the answer itself", () => {
    const more = `throughout {\nwhen rain {\nwait 1 s\n}\nwhen toxicity-signs {\ngo to emergency fire\n}\n}\n${FIRE}`;
    const walk = begin({ steps: "inflate all\nwait 5 min", more }).happens("inflate all ends", "0:00");
    expect(walk.happens("toxicity-signs", "1:00").may).toEqual(['task "Leave" ends at 2:00']);
  });

  test("is judged no further by time and cuff rules, but by those that say so", () => {
    const everywhere = (instant: Instant) =>
      instant.kind === "start" && instant.step.kind === "task" ? [{}] : [];
    const protocol = protocolOf({ steps: "inflate all\nwait 1 min", more: `${SIGNS}\n${FIRE}` });
    const runs = runsOf(protocol, [
      { rule: "of the plan", checksAt: everywhere },
      { rule: "of emergencies too", checksAt: everywhere, inEmergencies: true },
    ]);
    expect(runs.brokenBy("of the plan")).toEqual([]);
    expect(runs.brokenBy("of emergencies too")).toHaveLength(1);
  });

  test("may end with a cuff up; the plan may not", () => {
    expect(ruled({ steps: READY }).broken).toContain("occlusion-too-long");
    const leading = (event: string) =>
      withEmergency(`when ${event} {\ngo to emergency fire\n}`, 'task "Leave"');
    expect(leading("toxicity-signs")).toEqual([]);
    expect(leading("rain")).toContain("occlusion-too-long");
  });

  test("is still not allowed to leave the limb without a cuff before the minimum", () => {
    const broken = withEmergency("when toxicity-signs {\ngo to emergency fire\n}", "deflate all");
    expect(broken).toEqual(["no-cuff-up"]);
  });

  test("needs nothing of its steps: what they lack there is not judged", () => {
    const more = `${SIGNS}\nemergency fire "Fire" {\nconfirm no pulse\n}`;
    const steps = `${READY}\ndeflate all\nrecovery 1 h`;
    expect(ruled({ steps, more }).ending).toEqual([]);
  });

  test.each([
    ["by an answer", 'ask "Severe?" {\nyes {\ngo to emergency fire\n}\nno {\n}\n}'],
    ["by a confirmation that fails", "confirm all else {\ngo to emergency fire\n}"],
    ["by a routine", "do go-there"],
    ["after a while", "wait 1 min\ngo to emergency fire"],
    ["by another emergency", "go to emergency smoke"],
  ])("is reached %s, too", (_, steps) => {
    const found = ruled({
      steps: `${READY}\nstage procedure {\ntask "Work" takes 5 min\nwhen toxicity-signs {\n${steps}\n}\n}\n${RELEASE}`,
      more: `${HOLD}\nroutine go-there {\ngo to emergency fire\n}\nemergency fire "Fire" {\nwait 3 h\n}\nemergency smoke "Smoke" {\ngo to emergency fire\n}`,
    });
    expect(found.broken).not.toContain("occlusion-too-long");
    expect(found.broken).not.toContain("recovery-too-short");
  });

  test("is reached by what cuts in on the answer, too", () => {
    const leading =
      "when toxicity-signs {\nwait 1 min\n}\nwhen rain not before 330 s {\ngo to emergency fire\n}";
    // The rain comes within the answer alone: the work is over before.
    expect(withEmergency(leading, "wait 3 h\ndeflate all")).toEqual([]);
  });

  test("is plan again where the answer to the signs came back before", () => {
    const leading =
      'when toxicity-signs once {\nask "Severe?" {\nyes {\ngo to emergency fire\n}\nno {\n}\n}\n}\nwhen surgery-done {\ngo to emergency fire\n}';
    expect(withEmergency(leading, "wait 3 h\ndeflate all")).toContain("occlusion-too-long");
  });
});

const OTHERS = [
  "tourniquet-pain",
  "surgery-done",
  "systolic-rises",
  "block-incomplete",
  "patient-distress",
  "rain",
];

describe("an emergency that anything else leads to is plan", () => {
  const LONG = ["occlusion-too-long", "recovery-too-short"];

  test.each(OTHERS)("after %s", (event) => {
    const leading = `when ${event} {\ngo to emergency fire\n}`;
    expect(withEmergency(leading, "wait 3 h\ndeflate all")).toEqual(LONG);
    expect(withEmergency(leading, RELEASE)).toEqual([]);
    expect(withEmergency(leading, "deflate all\nrecovery 1 h")).toEqual(["early-release"]);
  });

  test.each(OTHERS)("after %s and more steps, a question, a routine", (event) => {
    const steps = (leading: string) =>
      withEmergency(`when ${event} {\n${leading}\n}`, "wait 3 h\ndeflate all");
    expect(steps("wait 1 min\ngo to emergency fire")).toEqual(LONG);
    expect(steps('ask "Well?" {\nyes {\ngo to emergency fire\n}\nno {\n}\n}')).toEqual(LONG);
    expect(steps("confirm all else {\ngo to emergency fire\n}")).toEqual(LONG);
  });

  test("by plain steps, though toxicity signs lead there, too", () => {
    const more = `${HOLD}\n${SIGNS}\nemergency fire "Fire" {\nwait 3 h\ndeflate all\n}`;
    expect(ruled({ steps: `${READY}\ngo to emergency fire`, more }).broken).toEqual(
      expect.arrayContaining(LONG),
    );
  });

  test("by a timer", () => {
    expect(
      withEmergency("when hold reaches 2 min {\ngo to emergency fire\n}", "wait 3 h\ndeflate all"),
    ).toEqual(LONG);
  });

  test("judges what its steps need, and what a requirement never allows", () => {
    const more = 'emergency fire "Fire" {\nconfirm no pulse\n}';
    expect(ruled({ steps: "go to emergency fire", more }).ending).toEqual(["step-out-of-place"]);
    const never = `require "r" {\nnever cannula in\n}\nemergency fire "Fire" {\ninsert cannula\nwait 1 min\n}`;
    expect(ruled({ steps: "go to emergency fire", more: never }).broken).toContain("requirement-broken");
  });

  test("has the handlers of `throughout` in force, toxicity signs above all", () => {
    const more = `throughout {\nwhen rain once {\nwait 1 s\n}\nwhen toxicity-signs {\ngo to emergency smoke\n}\n}\nemergency smoke "Smoke" {\ntask "Treat"\n}\n${FIRE}`;
    const walk = begin({ steps: "inflate all\ngo to emergency fire", more });
    walk.happens("inflate all ends", "0:00").happens("rain", "0:10").happens("wait 1 s ends", "0:11");
    expect(walk.happens("toxicity-signs", "0:20").now).toBe('task "Treat" at 0:20');
  });

  test("is not begun again by what is in force in it", () => {
    const more = `throughout {\nwhen rain {\nwait 1 s\ngo to emergency fire\n}\n}\n${FIRE}`;
    const walk = begin({ steps: "inflate all\nwait 5 min", more }).happens("inflate all ends", "0:00");
    walk.happens("rain", "0:10").happens("wait 1 s ends", "0:11");
    expect(walk.may).toEqual(['task "Leave" ends at 1:11']);
  });
});

describe("an injection that is left", () => {
  const steps = "insert cannula\ninflate all\nconfirm all\ninject local\nwait 30 min";
  const begun = (rain: string) => {
    const more = `throughout {\n${rain}\n}\nemergency smoke "Smoke" {\nwait 10 min\n}`;
    return begin({ steps, more })
      .happens("insert cannula ends", "0:00")
      .happens("inflate all ends", "0:00")
      .happens("confirm all ends", "0:00");
  };

  test("for an emergency is over, and hold counts from there", () => {
    const walk = begun("when rain {\ngo to emergency smoke\n}").happens("rain", "0:20");
    expect(walk.now).toBe("wait 10 min at 0:20");
    expect(walk.is("hold runs")).toBe("yes");
    expect(walk.clock("hold", "1:20")).toBe("1:00");
  });

  test("by what has interrupted it is over when that leads to an emergency, not before", () => {
    const walk = begun("when rain {\nwait 1 min\ngo to emergency smoke\n}").happens("rain", "0:20");
    expect(walk.is("hold runs")).toBe("no");
    walk.happens("wait 1 min ends", "1:20");
    expect(walk.now).toBe("wait 10 min at 1:20");
    expect(walk.clock("hold", "2:20")).toBe("1:00");
  });

  test("for a handler that comes back goes on", () => {
    const walk = begun("when rain {\nwait 1 s\n}").happens("rain", "0:20").happens("wait 1 s ends", "0:21");
    expect(walk.now).toBe("inject local at 0:21");
    expect(walk.is("hold runs")).toBe("no");
  });

  test("with the stage around it is over, and the timer of its end runs", () => {
    const stage = "stage short {\ninject local\nwhen rain {\nend stage\n}\n}";
    const more = "timer hold from end of local {\nat least 5 min\n}";
    const walk = begin({
      steps: `insert cannula\ninflate all\nconfirm all\n${stage}\nwait for hold\ndeflate all`,
      more,
    });
    walk
      .happens("insert cannula ends", "0:00")
      .happens("inflate all ends", "0:00")
      .happens("confirm all ends", "0:00")
      .happens("rain", "0:20");
    expect(walk.may).toContain("wait for hold ends at 5:20");
  });
});
