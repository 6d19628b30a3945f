import { describe, expect, test } from "vitest";
import { readSmall } from "../small-protocol.ts";
import { begin } from "./walk.ts";

const FIRE = 'emergency fire "Fire" {\ntask "Leave" takes 1 min\n}';

/** A timer that counts from the end of the first step. */
const CLOCK = "timer clock-of-ours from end of local {\nat least 30 min\n}";

describe("an event", () => {
  const inStage = (handler: string, steps = "wait 5 min") =>
    begin({ steps: `stage a {\n${steps}\n${handler}\n}\nwatch 1 min` });

  test("may happen at any moment of its stage, the first and the last included", () => {
    const walk = inStage("when rain {\nwait 1 min\n}");
    expect(walk.may).toEqual(["rain 0:00 to 5:00", "wait 5 min ends at 5:00"]);
  });

  test("may also never happen", () => {
    expect(inStage("when rain {\nwait 1 min\n}").happens("wait 5 min ends", "5:00").inHand).toBe(
      "watch 1 min",
    );
  });

  test("does not happen outside its stage", () => {
    const walk = inStage("when rain {\nwait 1 min\n}").happens("wait 5 min ends", "5:00");
    expect(walk.may).toEqual(["watch 1 min ends at 6:00"]);
  });

  test("is followed by its steps, and then the interrupted step goes on", () => {
    const walk = inStage("when rain {\nwait 1 min\n}").happens("rain", "2:00");
    expect(walk.inHand).toBe("wait 1 min");
    expect(walk.happens("wait 1 min ends", "3:00").inHand).toBe("wait 5 min");
  });

  test("with `not before` happens only so long after the stage began", () => {
    const walk = begin({
      steps: "wait 1 min\nstage a {\nwait 5 min\nwhen rain not before 2 min {\nwait 1 min\n}\n}",
    }).happens("wait 1 min ends", "1:00");
    expect(walk.may).toEqual(["rain 3:00 to 6:00", "wait 5 min ends at 6:00"]);
  });

  test("never happens between two steps", () => {
    const walk = inStage(
      "when rain {\nwait 1 min\n}",
      'wait 1 min\nask "On?" {\nyes {\nwait 1 min\n}\nno {\nwait 2 min\n}\n}',
    );
    expect(walk.happens("wait 1 min ends", "1:00").may).toEqual(["On?: no at 1:00", "On?: yes at 1:00"]);
  });
});

describe("how often an event may happen", () => {
  const steps = (times: string) => `stage a {\nwait 5 min\nwhen rain ${times} {\nwait 1 s\n}\n}`;

  test("is not limited, if nothing else is said", () => {
    const walk = begin({ steps: steps("") });
    for (const minute of [0, 1, 2, 3])
      walk.happens("rain", `${minute}:00`).happens("wait 1 s ends", `${minute}:01`);
    expect(walk.can("rain", "4:00")).toBe(true);
  });

  test("is `once`, or `up to N times`", () => {
    const once = begin({ steps: steps("once") })
      .happens("rain", "0:00")
      .happens("wait 1 s ends", "0:01");
    expect(once.may).toEqual(["wait 5 min ends at 5:00"]);
    const twice = begin({ steps: steps("up to 2 times") })
      .happens("rain", "0:00")
      .happens("wait 1 s ends", "0:01");
    expect(twice.can("rain", "0:01")).toBe(true);
    expect(twice.happens("rain", "0:01").happens("wait 1 s ends", "0:02").can("rain", "0:02")).toBe(false);
  });

  test("counts anew each time its stage is entered", () => {
    const walk = begin({ steps: `repeat 2 times {\n${steps("once")}\n}` });
    walk.happens("rain", "0:00").happens("wait 1 s ends", "0:01").happens("wait 5 min ends", "5:00");
    expect(walk.may).toEqual(["rain 5:00 to 10:00", "wait 5 min ends at 10:00"]);
  });

  test("counts for the whole run in `throughout`", () => {
    const walk = begin({
      steps: "inflate all\nrepeat 2 times {\nwait 5 min\n}",
      more: "throughout {\nwhen rain once {\nwait 1 s\n}\n}",
    }).happens("inflate all ends", "0:00");
    walk.happens("rain", "0:00").happens("wait 1 s ends", "0:01").happens("wait 5 min ends", "5:00");
    expect(walk.may).toEqual(["wait 5 min ends at 10:00"]);
  });

  test("has to be limited where a dose is given", () => {
    const problems = (times: string) =>
      readSmall({ steps: `stage a {\nwait 5 min\nwhen rain ${times} {\ninject local\n}\n}` }).problems;
    expect(problems("").map(({ what }) => what)).toEqual([
      "This gives a dose every time it happens, however often that is.",
    ]);
    expect(problems("once")).toEqual([]);
    expect(problems("up to 2 times")).toEqual([]);
  });
});

/** A routine, written after the local rules of a small protocol. */
const routine = (steps: string) => `}\nroutine round {\n${steps}\n}\nlocal-rules other {`;

describe("a handler", () => {
  test("never stops the clock of the step: a wait whose time is over meanwhile ends at once", () => {
    const walk = begin({ steps: "stage a {\nwait 5 min\nwhen rain {\nwait 2 min\n}\n}\nwatch 1 min" });
    walk.happens("rain", "4:00").happens("wait 2 min ends", "6:00");
    expect(walk.now).toBe("watch 1 min at 6:00");
  });

  test("leaves a step the rest of its time", () => {
    const walk = begin({ steps: "stage a {\nwait 5 min\nwhen rain {\nwait 2 min\n}\n}" });
    expect(walk.happens("rain", "1:00").happens("wait 2 min ends", "3:00").may).toEqual([
      "rain 3:00 to 5:00",
      "wait 5 min ends at 5:00",
    ]);
  });

  test("ends a stage at once whose longest time was over meanwhile, whatever is in hand", () => {
    const steps =
      'stage a takes 1 min to 10 min {\ntask "Suture"\nwait 3 min\nwhen rain {\nwait 4 min\n}\n}\nwatch 1 min';
    const walk = begin({ steps }).happens("rain", "8:00").happens("wait 4 min ends", "12:00");
    expect(walk.now).toBe("watch 1 min at 12:00");
  });

  test("that ended an inner stage ends the outer one at once whose longest time was over meanwhile", () => {
    const steps =
      "stage outer takes 0 min to 10 min {\nstage inner {\nwait 5 min\nwhen rain {\nwait 12 min\nend stage\n}\n}\nwait 3 min\n}\nwatch 1 min";
    const walk = begin({ steps }).happens("rain", "1:00").happens("wait 12 min ends", "13:00");
    expect(walk.now).toBe("watch 1 min at 13:00");
  });

  test("that overruns a stage ends the stages within it, too", () => {
    const steps =
      "stage outer takes 0 min to 10 min {\nstage inner {\nwait 5 min\nwhen rain {\nwait 12 min\n}\n}\nwait 3 min\n}\nwait for later\nwatch 1 min";
    const more = "timer later from end of inner {\nat least 2 min\n}";
    const walk = begin({ steps, more }).happens("rain", "1:00").happens("wait 12 min ends", "13:00");
    expect(walk.may).toEqual(["wait for later ends at 15:00"]);
  });

  test("leaves the stage that it interrupts its time, also where it goes through the same one itself", () => {
    const steps = "do round\nwatch 1 min";
    const more = "throughout {\nwhen rain once {\ndo round\n}\n}";
    const settings = routine('stage inner takes 0 min to 5 min {\ninflate all\ntask "Suture"\n}');
    const walk = begin({ steps, more, settings }).happens("inflate all ends", "0:00");
    walk.happens("rain", "3:00").happens("inflate all ends", "3:00");
    expect(walk.may).toContain('task "Suture" ends 3:00 to 8:00');
    expect(walk.happens('task "Suture" ends', "4:00").may).toContain("stage inner ends at 5:00");
  });

  test("leaves no time for an event when the longest time of the step or of the stage is over", () => {
    const step = begin({ steps: "stage a {\nwait 5 min\nwhen rain {\nwait 2 min\n}\n}" });
    expect(step.happens("rain", "4:00").happens("wait 2 min ends", "6:00").can("rain", "6:00")).toBe(false);
    const stage = begin({
      steps:
        'stage a takes 1 min to 10 min {\ntask "Suture"\nwhen rain {\nwait 4 min\n}\nwhen tourniquet-pain {\nwait 1 min\n}\n}\nwatch 1 min',
    });
    expect(stage.happens("rain", "8:00").happens("wait 4 min ends", "12:00").may).toEqual([
      "watch 1 min ends at 13:00",
    ]);
  });

  test("is cut in on by nothing but a `when` whose whole body is `go to emergency`, which never returns", () => {
    const walk = begin({
      steps: `stage a {
  wait 5 min
  when rain {
    wait 2 min
  }
  when tourniquet-pain {
    wait 1 min
  }
  when toxicity-signs {
    go to emergency fire
  }
}`,
      more: FIRE,
    });
    expect(walk.happens("rain", "1:00").may).toEqual([
      "toxicity-signs 1:00 to 3:00",
      "wait 2 min ends at 3:00",
    ]);
    walk.happens("toxicity-signs", "2:00");
    expect(walk.may).toEqual(['task "Leave" ends at 3:00']);
    expect(walk.happens('task "Leave" ends', "3:00").happens("the protocol ends", "3:00").inHand).toBe(
      "the end",
    );
  });

  test("is not cut in on by a `when` that does more than going to an emergency", () => {
    const walk = begin({
      steps:
        "stage a {\nwait 5 min\nwhen rain {\nwait 2 min\n}\nwhen toxicity-signs {\nwait 1 s\ngo to emergency fire\n}\n}",
      more: FIRE,
    });
    expect(walk.happens("rain", "1:00").may).toEqual(["wait 2 min ends at 3:00"]);
  });

  test("with `end stage` ends the stage that holds it, with `end stage NAME` another one around", () => {
    const steps = (end: string) =>
      `stage outer {\nstage inner {\nwait 5 min\nwhen rain {\n${end}\n}\n}\nwait 2 min\n}\nwatch 1 min`;
    expect(begin({ steps: steps("end stage") }).happens("rain", "1:00").inHand).toBe("wait 2 min");
    expect(begin({ steps: steps("end stage outer") }).happens("rain", "1:00").inHand).toBe("watch 1 min");
  });

  test("that has ended the stage does not come back to what it interrupted", () => {
    const steps = "stage a {\nwait 5 min\nwhen rain {\nend stage\n}\n}\nwatch 1 min\nwatch 2 min";
    const walk = begin({ steps }).happens("rain", "1:00").happens("watch 1 min ends", "2:00");
    expect(walk.inHand).toBe("watch 2 min");
  });
});

describe("`when … reaches`", () => {
  /** A stage that begins when the timer shows `first`. */
  const stage = (first: string, handlers: string, steps = "wait 60 min") =>
    `inject local\nwait ${first}\nstage a {\n${steps}\n${handlers}\n}\nwatch 1 min`;
  const begun = (first: string, handlers: string, steps?: string, more = CLOCK) =>
    begin({ steps: stage(first, handlers, steps), more })
      .happens("inject local ends", "1:00")
      .happens(`wait ${first} ends`, `${1 + Number.parseInt(first, 10)}:00`);

  test("happens as soon as the timer has reached the time: it cannot be put off", () => {
    const walk = begun("5 min", "when clock-of-ours reaches 45 min {\nwait 1 min\n}");
    expect(walk.may).toEqual(["clock-of-ours reaches 45 min at 46:00"]);
    expect(walk.happens("clock-of-ours reaches 45 min", "46:00").inHand).toBe("wait 1 min");
  });

  test("leaves everything else to happen only before it", () => {
    const walk = begun(
      "5 min",
      "when clock-of-ours reaches 45 min {\nend stage\n}\nwhen rain {\nwait 1 min\n}",
      'task "Suture"',
    );
    expect(walk.may).toEqual([
      "clock-of-ours reaches 45 min at 46:00",
      "rain 6:00 to before 46:00",
      'task "Suture" ends 6:00 to before 46:00',
    ]);
  });

  test("happens at once when the timer is there already", () => {
    const walk = begun("50 min", "when clock-of-ours reaches 45 min {\nwait 1 min\n}");
    expect(walk.now).toBe("wait 1 min at 51:00");
  });

  test("happens once for each entry of its stage", () => {
    const walk = begin({
      steps: `inject local\nrepeat 2 times {\nstage a {\nwait 40 min\nwhen clock-of-ours reaches 30 min {\nwait 1 min\n}\n}\n}`,
      more: CLOCK,
    }).happens("inject local ends", "1:00");
    walk.happens("clock-of-ours reaches 30 min", "31:00").happens("wait 1 min ends", "32:00");
    expect(walk.may).toEqual(["wait 40 min ends at 41:00"]);
    walk.happens("wait 40 min ends", "41:00");
    expect(walk.now).toBe("wait 1 min at 41:00");
  });

  test("does not happen while the timer does not run", () => {
    const walk = begin({
      steps: "stage a {\nwait 60 min\nwhen clock-of-ours reaches 30 min {\nwait 1 min\n}\n}\ninject local",
      more: CLOCK,
    });
    expect(walk.may).toEqual(["wait 1 h ends at 1:00:00"]);
  });

  test("waits for a handler that is already running, and is due when that returns", () => {
    const walk = begun(
      "5 min",
      "when clock-of-ours reaches 45 min {\nwait 1 min\n}\nwhen rain {\nwait 2 min\n}",
      'task "Suture"',
    );
    walk.happens("rain", "45:00").happens("wait 2 min ends", "47:00");
    expect(walk.now).toBe("wait 1 min at 47:00");
  });

  test("cuts in on a running handler as soon as it is due, where its whole body is `go to emergency`", () => {
    const walk = begun(
      "5 min",
      "when clock-of-ours reaches 45 min {\ngo to emergency fire\n}\nwhen rain {\nwait 2 min\n}",
      'task "Suture"',
      `${CLOCK}\n${FIRE}`,
    );
    expect(walk.happens("rain", "45:00").may).toEqual(["clock-of-ours reaches 45 min at 46:00"]);
    expect(walk.happens("clock-of-ours reaches 45 min", "46:00").inHand).toBe('task "Leave"');
  });

  test("goes before any event of the same instant", () => {
    const walk = begun(
      "5 min",
      "when clock-of-ours reaches 45 min {\nwait 1 min\n}\nwhen rain {\nwait 2 min\n}\nwhen tourniquet-pain {\nwait 3 min\n}",
      'task "Suture"',
    );
    expect(walk.can("tourniquet-pain", "46:00")).toBe(false);
    expect(walk.can("clock-of-ours reaches 45 min", "46:00")).toBe(true);
  });

  test("goes before the next step when it is due between two steps", () => {
    const walk = begun(
      "5 min",
      "when clock-of-ours reaches 45 min {\nwait 1 min\n}",
      "wait 40 min\nwait 9 min",
    );
    expect(walk.can("wait 40 min ends", "46:00")).toBe(false);
    walk.happens("clock-of-ours reaches 45 min", "46:00").happens("wait 1 min ends", "47:00");
    expect(walk.now).toBe("wait 9 min at 47:00");
  });

  test("may come in either order with others that are due", () => {
    const walk = begun(
      "5 min",
      "when clock-of-ours reaches 45 min {\nwait 1 min\n}\nwhen other reaches 45 min {\nwait 2 min\n}",
      undefined,
      `${CLOCK}\ntimer other from end of local {\nat least 30 min\n}`,
    );
    expect(walk.may).toEqual(["clock-of-ours reaches 45 min at 46:00", "other reaches 45 min at 46:00"]);
    walk.happens("other reaches 45 min", "46:00").happens("wait 2 min ends", "48:00");
    expect(walk.now).toBe("wait 1 min at 48:00");
  });
});

describe("what stands in `throughout`", () => {
  const more = "throughout {\nwhen rain {\nwait 1 s\n}\n}";

  test("is in force from the end of the first inflation to the end of recovery", () => {
    const walk = begin({ steps: "wait 1 min\ninflate all\ndeflate all\nrecovery 30 min\nwait 2 min", more });
    expect(walk.may).toEqual(["wait 1 min ends at 1:00"]);
    walk.happens("wait 1 min ends", "1:00");
    expect(walk.can("rain", "1:10")).toBe(false);
    walk.happens("inflate all ends", "1:15");
    expect(walk.can("rain", "1:15")).toBe(true);
    walk.happens("deflate all ends", "1:20");
    expect(walk.can("rain", "31:20")).toBe(true);
    walk.happens("recovery 30 min ends", "31:20");
    expect(walk.may).toEqual(["wait 2 min ends at 33:20"]);
  });

  test("is in force during the injection and the release", () => {
    const walk = begin({
      steps: "insert cannula\ninflate all\nconfirm all\ninject local\ndeflate all",
      more,
    });
    walk
      .happens("insert cannula ends", "0:00")
      .happens("inflate all ends", "0:00")
      .happens("confirm all ends", "0:00");
    expect(walk.can("rain", "0:30")).toBe(true);
    walk.happens("inject local ends", "1:00");
    expect([walk.inHand, walk.can("rain", "1:00")]).toEqual(["deflate all", true]);
  });

  test("is in force within stages, but not while another handler runs", () => {
    const walk = begin({
      steps: "inflate all\nstage a {\nwait 5 min\nwhen tourniquet-pain {\nwait 1 min\n}\n}",
      more,
    }).happens("inflate all ends", "0:00");
    expect(walk.can("rain", "1:00")).toBe(true);
    expect(walk.happens("tourniquet-pain", "1:00").may).toEqual(["wait 1 min ends at 2:00"]);
  });
});
