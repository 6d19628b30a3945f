import { describe, expect, test } from "vitest";
import { whyUndecided } from "../../../../language/rules/engine/over-runs.ts";
import { ruled } from "../broken-rules.ts";
import { begin } from "./walk.ts";

describe("what a step needs", () => {
  test.each([
    ["exsanguinate by bandage", "no cuff up", "inflate all", "step-out-of-place"],
    ["exsanguinate by elevation 1 min", "no cuff up", "inflate all", "step-out-of-place"],
    ["exsanguinate by arterial-compression 1 min", "no cuff up", "inflate all", "step-out-of-place"],
    [
      "remove bandage",
      "a confirmed cuff",
      "exsanguinate by bandage\ninflate all",
      "bandage-off-before-occlusion",
    ],
    ["deflate proximal", "that cuff up", "inflate distal", "step-out-of-place"],
    ["deflate all", "at least one cuff up", "wait 1 min", "step-out-of-place"],
    ["deflate all for 10 s", "a cuff up", "wait 1 min", "step-out-of-place"],
    ["confirm proximal", "that cuff up", "inflate distal", "step-out-of-place"],
    ["confirm all", "every cuff up", "inflate distal", "step-out-of-place"],
    ["confirm no pulse", "a cuff up", "wait 1 min", "step-out-of-place"],
    ["inject local", "the cannula in", "inflate all\nconfirm all", "step-out-of-place"],
    ["inject local", "a cuff up", "insert cannula", "inject-before-occlusion"],
    ["inject local", "a confirmed cuff", "insert cannula\ninflate all", "inject-before-confirm"],
    [
      "inject local",
      "the bandage off",
      "insert cannula\nexsanguinate by bandage\ninflate all\nconfirm all",
      "inject-with-bandage-on",
    ],
    ["recovery 30 min", "no cuff up", "inflate all", "step-out-of-place"],
  ])("`%s` needs %s", (step, _, before, rule) => {
    expect(ruled({ steps: `${before}\n${step}` }).ending).toContain(rule);
  });

  test.each([
    ["exsanguinate by bandage", "wait 1 min"],
    ["exsanguinate by elevation 1 min", "wait 1 min"],
    ["remove bandage", "exsanguinate by bandage\ninflate all\nconfirm proximal"],
    ["inflate all", "wait 1 min"],
    ["inflate proximal", "inflate proximal"],
    ["deflate proximal", "inflate proximal"],
    ["deflate all", "inflate distal"],
    ["deflate all for 10 s", "inflate distal"],
    ["confirm proximal", "inflate proximal"],
    ["confirm all", "inflate all"],
    ["confirm no pulse", "inflate distal"],
    ["inject local", "insert cannula\ninflate proximal\nconfirm proximal"],
    ["recovery 30 min", "inflate all\ndeflate all"],
  ])("`%s` finds what it needs after `%s`", (step, before) => {
    expect(ruled({ steps: `${before}\n${step}` }).ending).toEqual([]);
  });

  test("a wait needs a timer that runs", () => {
    const more = "timer hold from end of local {\nat least 30 min\n}";
    const ready = "insert cannula\ninflate all\nconfirm all";
    expect(ruled({ steps: `${ready}\nwait for hold`, more }).broken).toContain("timer-never-starts");
    expect(ruled({ steps: `${ready}\ninject local\nwait for hold`, more }).broken).not.toContain(
      "timer-never-starts",
    );
  });

  test("a run in which a need is not met is followed no further", () => {
    const { runs, unreached } = ruled({
      steps: "wait 1 min\nconfirm proximal\nwatch 1 min\nrecovery 30 min",
    });
    const [broken] = runs.brokenBy("step-out-of-place");
    expect(broken?.run.steps.at(-1)).toMatchObject({ at: 60, says: "confirm proximal", kind: "start" });
    expect(unreached).toEqual(["recovery 30 min", "watch 1 min"]);
  });

  test("what only such a run would come to is not decided, and what it breaks later is not found", () => {
    const { runs } = ruled({ steps: "confirm proximal\ndeflate distal" });
    expect(runs.brokenBy("step-out-of-place").map(({ origin }) => origin.start.line)).toEqual([3]);
    expect(whyUndecided(runs, "unreachable-step")).toEqual([
      { limit: "nobody knows what comes after what `step-out-of-place` found; mend that first" },
    ]);
  });

  test("a run that meets every need is followed beyond one that does not", () => {
    const steps = 'ask "Up?" {\nyes {\ninflate all\n}\nno {\nwait 1 min\n}\n}\nconfirm all\nwatch 1 min';
    expect(ruled({ steps }).ending).toEqual(["step-out-of-place"]);
    expect(ruled({ steps }).unreached).toEqual([]);
  });
});

describe("a cuff", () => {
  test("is no longer confirmed when it goes flat, also when it is up again", () => {
    const walk = begin({ steps: "inflate proximal\nconfirm proximal\ndeflate all for 10 s\nwait 1 min" });
    walk.happens("inflate proximal ends", "0:00").happens("confirm proximal ends", "0:00");
    expect(walk.is("cuff proximal")).toBe("flat");
    walk.happens("deflate all for 10 s ends", "0:10");
    expect(walk.is("cuff proximal")).toBe("up");
  });

  test("is no longer confirmed when it could not be confirmed again", () => {
    const again = "confirm proximal else {\nwait 2 min\n}";
    const walk = begin({ steps: `inflate proximal\nconfirm proximal\n${again}\nwait 1 min` });
    walk.happens("inflate proximal ends", "0:00").happens("confirm proximal ends", "0:00");
    walk.happens("confirm proximal: no", "0:00");
    expect(walk.is("cuff proximal")).toBe("up");
  });

  test("that is up stays as it is when it is inflated: confirmed, too", () => {
    const walk = begin({ steps: "inflate proximal\nconfirm proximal\ninflate all\nwait 1 min" });
    walk.happens("inflate proximal ends", "0:00").happens("confirm proximal ends", "0:00");
    walk.happens("inflate all ends", "0:00");
    expect([walk.is("cuff proximal"), walk.is("cuff distal")]).toEqual(["confirmed", "up"]);
  });

  test("is meant with every other by `all`", () => {
    const walk = begin({ steps: "inflate all\nconfirm all\ndeflate all" });
    walk.happens("inflate all ends", "0:00");
    expect([walk.is("cuff proximal"), walk.is("cuff distal")]).toEqual(["up", "up"]);
    walk.happens("confirm all ends", "0:00");
    expect([walk.is("cuff proximal"), walk.is("cuff distal")]).toEqual(["flat", "flat"]);
  });
});
