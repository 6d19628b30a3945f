import { describe, expect, test } from "vitest";
import type { Instant } from "../../../../language/runs/index.ts";
import { ruled } from "../broken-rules.ts";
import { protocolOf, runsOf } from "../small-protocol.ts";
import { begin } from "./walk.ts";

const FIRE = 'emergency fire "Fire" {\ntask "Leave" takes 1 min\n}';
const READY = "insert cannula\ninflate all\nconfirm all\ninject local";

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

  test("has no handler of `throughout` in force: it is the answer itself", () => {
    const more = `throughout {\nwhen rain {\nwait 1 s\n}\nwhen toxicity-signs {\ngo to emergency fire\n}\n}\n${FIRE}`;
    const walk = begin({ steps: "inflate all\nwait 5 min", more }).happens("inflate all ends", "0:00");
    expect(walk.happens("toxicity-signs", "1:00").may).toEqual(['task "Leave" ends at 2:00']);
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

  test("ends the judging of time and cuff rules, but not of those that say so", () => {
    const everywhere = (instant: Instant) =>
      instant.kind === "start" && instant.step.kind === "task" ? [{}] : [];
    const protocol = protocolOf({ steps: "go to emergency fire", more: FIRE });
    const runs = runsOf(protocol, [
      { rule: "of the plan", checksAt: everywhere },
      { rule: "of emergencies too", checksAt: everywhere, inEmergencies: true },
    ]);
    expect(runs.brokenBy("of the plan")).toEqual([]);
    expect(runs.brokenBy("of emergencies too")).toHaveLength(1);
  });

  test("may end with a cuff up; the plan may not", () => {
    const inPlan = ruled({ steps: READY }).broken;
    const inEmergency = ruled({ steps: `${READY}\ngo to emergency fire`, more: FIRE }).broken;
    expect(inPlan).toContain("occlusion-too-long");
    expect(inEmergency).not.toContain("occlusion-too-long");
    expect(inEmergency).not.toContain("recovery-too-short");
  });

  test("is still not allowed to leave the limb without a cuff before the minimum", () => {
    const more = 'emergency fire "Fire" {\ndeflate all\n}';
    const { broken } = ruled({ steps: `${READY}\ngo to emergency fire`, more });
    expect(broken).toContain("no-cuff-up");
    expect(broken).not.toContain("early-release");
  });

  test("needs nothing of its steps: what they lack there is not judged", () => {
    const more = 'emergency fire "Fire" {\nconfirm no pulse\n}';
    expect(ruled({ steps: "go to emergency fire", more }).ending).toEqual([]);
  });
});
