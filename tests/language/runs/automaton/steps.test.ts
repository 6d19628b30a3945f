import { describe, expect, test } from "vitest";
import { begin } from "./walk.ts";

/** Behind two confirmed cuffs, with the cannula in. */
const READY = "insert cannula\ninflate all\nconfirm all";

const ready = (steps: string, more = "") =>
  begin({ steps: `${READY}\n${steps}`, more })
    .happens("insert cannula ends", "0:00")
    .happens("inflate all ends", "0:00")
    .happens("confirm all ends", "0:00");

describe("how long a step lasts", () => {
  test.each([
    "apply cuffs",
    "insert cannula",
    "remove cannula",
    "exsanguinate by bandage",
    "remove bandage",
    "confirm no pulse",
  ])("`%s` is an action: from zero to 1 min, if nothing else is said", (step) => {
    expect(begin({ steps: step }).may).toEqual([`${step} ends 0:00 to 1:00`]);
  });

  test.each([
    "inflate proximal",
    "deflate proximal",
    "confirm proximal",
    "inflate all",
    "deflate all",
    "confirm all",
  ])("`%s` is a cuff action: from zero to 15 s, if nothing else is said", (step) => {
    expect(begin({ steps: step }).may).toEqual([`${step} ends 0:00 to 0:15`]);
  });

  test("local rules say how long an action and a cuff action are at most", () => {
    const settings = "set action-time 75 s\nset cuff-action-time 20 s";
    expect(begin({ steps: "apply cuffs", settings }).may).toEqual(["apply cuffs ends 0:00 to 1:15"]);
    expect(begin({ steps: "inflate all", settings }).may).toEqual(["inflate all ends 0:00 to 0:20"]);
  });

  test.each([
    ["wait 5 min", "wait 5 min ends at 5:00"],
    ["wait 2 min to 4 min", "wait 2 min to 4 min ends 2:00 to 4:00"],
    ["watch 1 min", "watch 1 min ends at 1:00"],
    ["recovery 30 min", "recovery 30 min ends at 30:00"],
    ["exsanguinate by elevation 2 min", "exsanguinate by elevation ends at 2:00"],
    ["exsanguinate by arterial-compression 3 min", "exsanguinate by arterial-compression ends at 3:00"],
    ["remove cannula press 1 min to 2 min", "remove cannula ends 1:00 to 2:00"],
    ['task "Suture" takes 10 min to 20 min', 'task "Suture" ends 10:00 to 20:00'],
  ])("`%s` lasts as it says", (step, ends) => {
    expect(begin({ steps: step }).may).toEqual([ends]);
  });

  test.each([
    ["apply cuffs takes 2 min", "apply cuffs ends at 2:00"],
    ["inflate proximal takes 5 s to 30 s", "inflate proximal ends 0:05 to 0:30"],
    ["deflate all for 10 s takes 5 s", "deflate all for 10 s ends at 0:15"],
  ])("a step may say its own time: `%s`", (step, ends) => {
    expect(begin({ steps: step }).may).toEqual([ends]);
  });

  test("a task that says no time may be over at once, and has no longest time", () => {
    expect(begin({ steps: 'task "Suture"' }).may).toEqual(['task "Suture" ends 0:00 or later']);
  });

  test("an injection and a systemic dose last as their `over` says, a rate begins at once and runs on beside the steps", () => {
    expect(begin({ steps: "inject local" }).may).toEqual(["inject local ends 1:00 to 2:00"]);
    expect(begin({ steps: "give top-up" }).may).toEqual(["give top-up ends at 0:30"]);
    expect(begin({ steps: "give drip\nwait 1 min" }).now).toBe("wait 1 min at 0:00");
  });

  test("`deflate all for 10 s` lasts its time and a cuff action", () => {
    expect(begin({ steps: "deflate all for 10 s" }).may).toEqual(["deflate all for 10 s ends 0:10 to 0:25"]);
  });

  test("a stage lasts as long as its steps", () => {
    const walk = begin({ steps: "stage a {\nwait 2 min\nwait 3 min\n}\nwatch 1 min" });
    expect(walk.happens("wait 2 min ends", "2:00").may).toEqual(["wait 3 min ends at 5:00"]);
    expect(walk.happens("wait 3 min ends", "5:00").inHand).toBe("watch 1 min");
  });

  test("a stage that says its own time is not over before, and not later than that", () => {
    const steps = 'stage a takes 10 min to 20 min {\ntask "Suture"\n}\nwatch 1 min';
    const early = begin({ steps }).happens('task "Suture" ends', "4:00");
    expect(early.inHand).toBe("rest of stage a");
    expect(early.may).toEqual(["stage a ends 10:00 to 20:00"]);
    expect(begin({ steps }).may).toEqual(['task "Suture" ends 0:00 to 20:00']);
    expect(begin({ steps }).happens('task "Suture" ends', "12:00").inHand).toBe("watch 1 min");
  });

  test("a stage keeps its time around another of its name", () => {
    const settings = "}\nroutine round {\nstage a {\nwait 2 min\n}\n}\nlocal-rules other {";
    const steps = 'stage a takes 0 min to 10 min {\nwait 3 min\ndo round\ntask "Suture"\n}';
    const walk = begin({ steps, settings })
      .happens("wait 3 min ends", "3:00")
      .happens("wait 2 min ends", "5:00");
    expect(walk.may).toEqual(['task "Suture" ends 5:00 to 10:00']);
  });

  test("between two steps no time passes", () => {
    const walk = begin({ steps: "apply cuffs\nwait 1 min" }).happens("apply cuffs ends", "0:20");
    expect(walk.now).toBe("wait 1 min at 0:20");
    expect(walk.may).toEqual(["wait 1 min ends at 1:20"]);
  });
});

describe("what a step does", () => {
  test("the cannula is in when it has been inserted, and out as soon as it is being removed", () => {
    const walk = begin({ steps: "insert cannula\nremove cannula" });
    expect(walk.is("cannula")).toBe("out");
    expect(walk.happens("insert cannula ends", "0:10").is("cannula")).toBe("out");
    const waiting = begin({ steps: "insert cannula\nwait 1 min" }).happens("insert cannula ends", "0:10");
    expect(waiting.is("cannula")).toBe("in");
  });

  test("the bandage is on as soon as it is being wound, and off when it has been removed", () => {
    const walk = begin({ steps: "exsanguinate by bandage\nremove bandage\nwait 1 min" });
    expect(walk.is("bandage")).toBe("on");
    expect(walk.happens("exsanguinate by bandage ends", "0:10").is("bandage")).toBe("on");
    expect(walk.happens("remove bandage ends", "0:20").is("bandage")).toBe("off");
  });

  test.each(["exsanguinate by elevation 1 min", "exsanguinate by arterial-compression 1 min"])(
    "`%s` empties the limb without a bandage",
    (step) => {
      const walk = begin({ steps: `${step}\nwait 1 min` });
      expect(walk.is("emptied")).toBe("no");
      walk.happens(`${step.replace(" 1 min", "")} ends`, "1:00");
      expect([walk.is("emptied"), walk.is("bandage")]).toEqual(["yes", "off"]);
    },
  );

  test("a cuff is up at the end of its inflation, and flat from the start of its deflation", () => {
    const walk = begin({ steps: "inflate proximal\nwait 1 min\ndeflate proximal" });
    expect(walk.is("cuff proximal")).toBe("flat");
    expect(walk.happens("inflate proximal ends", "0:15").is("cuff proximal")).toBe("up");
    expect(walk.happens("wait 1 min ends", "1:15").inHand).toBe("deflate proximal");
    expect(walk.is("cuff proximal")).toBe("flat");
  });

  test("after `deflate all for 10 s` the same cuffs are up again, those that were flat stay flat", () => {
    const walk = begin({ steps: "inflate distal\ndeflate all for 10 s\nwait 1 min" });
    walk.happens("inflate distal ends", "0:00");
    expect([walk.is("cuff distal"), walk.is("cuff proximal")]).toEqual(["flat", "flat"]);
    walk.happens("deflate all for 10 s ends", "0:10");
    expect([walk.is("cuff distal"), walk.is("cuff proximal")]).toEqual(["up", "flat"]);
  });

  test("a cuff is confirmed when it was felt firm; where it is not, the steps under `else` are done", () => {
    const steps = "inflate proximal\nconfirm proximal else {\nwait 2 min\n}\nwatch 1 min";
    const walk = begin({ steps }).happens("inflate proximal ends", "0:00");
    expect(walk.may).toEqual(["confirm proximal ends 0:00 to 0:15", "confirm proximal: no 0:00 to 0:15"]);
    expect(walk.happens("confirm proximal ends", "0:05").is("cuff proximal")).toBe("confirmed");
    expect(walk.inHand).toBe("watch 1 min");
    const other = begin({ steps })
      .happens("inflate proximal ends", "0:00")
      .happens("confirm proximal: no", "0:05");
    expect([other.is("cuff proximal"), other.inHand]).toEqual(["up", "wait 2 min"]);
  });

  test("the drug is in the limb from the start of the injection", () => {
    const walk = ready("inject local");
    expect(walk.is("drug")).toBe("in the limb");
  });

  test("a systemic dose is counted like an injected one, and is not in the limb", () => {
    const walk = ready("give top-up\ngive top-up\nwait 1 min").happens("give top-up ends", "0:30");
    walk.happens("give top-up ends", "1:00");
    expect([walk.is("given top-up"), walk.is("drug")]).toEqual(["2", "not injected"]);
  });

  test("a wait for a timer ends exactly when the timer has reached its `at least`", () => {
    const walk = ready("inject local\nwait 5 min\nwait for hold", HOLD);
    walk.happens("inject local ends", "1:00").happens("wait 5 min ends", "6:00");
    expect(walk.may).toEqual(["wait for hold ends at 31:00"]);
  });

  test("a timer that has reached its `at least` is not waited for", () => {
    const walk = ready("inject local\nwait 40 min\nwait for hold\nwatch 1 min", HOLD);
    walk.happens("inject local ends", "1:00").happens("wait 40 min ends", "41:00");
    expect(walk.inHand).toBe("watch 1 min");
  });

  test("either answer of a question may be given", () => {
    const walk = begin({ steps: 'ask "Numb?" {\nyes {\nwait 1 min\n}\nno {\nwait 2 min\n}\n}\nwatch 1 min' });
    expect(walk.may).toEqual(["Numb?: no at 0:00", "Numb?: yes at 0:00"]);
    expect(walk.happens("Numb?: no", "0:00").inHand).toBe("wait 2 min");
    expect(walk.happens("wait 2 min ends", "2:00").inHand).toBe("watch 1 min");
  });

  test("what is repeated N times is done N times", () => {
    const walk = begin({ steps: "repeat 3 times {\nwait 1 min\n}\nwatch 1 min" });
    for (const time of ["1:00", "2:00", "3:00"]) {
      expect(walk.inHand).toBe("wait 1 min");
      walk.happens("wait 1 min ends", time);
    }
    expect(walk.inHand).toBe("watch 1 min");
  });

  test("`do` does the steps of the routine", () => {
    const walk = begin({ steps: "do rest\nwatch 1 min", more: "routine rest {\nwait 1 min\nwait 2 min\n}" });
    expect(walk.happens("wait 1 min ends", "1:00").may).toEqual(["wait 2 min ends at 3:00"]);
    expect(walk.happens("wait 2 min ends", "3:00").inHand).toBe("watch 1 min");
  });

  test("`finish` leaves the run, whatever comes after it", () => {
    const walk = begin({ steps: "wait 1 min\nfinish\nwait 2 min" }).happens("wait 1 min ends", "1:00");
    expect(walk.happens("finish", "1:00").inHand).toBe("the end");
  });

  test("`go to emergency` leaves the plan for good", () => {
    const more = 'emergency fire "Fire" {\ntask "Leave" takes 1 min\n}';
    const walk = begin({ steps: "go to emergency fire\nwait 2 min", more });
    expect(walk.happens('task "Leave" ends', "1:00").happens("the protocol ends", "1:00").inHand).toBe(
      "the end",
    );
  });
});

const HOLD = "timer hold from end of local {\nat least 30 min\n}";

describe("a dose that is injected and repeats", () => {
  const again = (repeat: string) => ({
    steps: "inject again\nwatch 1 min",
    more: `dose again of lidocaine {\namount 10 mg\nover 30 s\nrepeat ${repeat}\n}`,
  });

  test("is a wait and the injection again, as often as it says", () => {
    const walk = begin(again("2 times every 5 min")).happens("inject again ends", "0:30");
    expect(walk.inHand).toBe("wait 5 min");
    expect(walk.happens("wait 5 min ends", "5:30").inHand).toBe("inject again");
    walk.happens("inject again ends", "6:00").happens("wait 5 min ends", "11:00");
    expect(walk.happens("inject again ends", "11:30").inHand).toBe("watch 1 min");
  });

  test("asks where it hangs on a condition, and goes on where that is denied", () => {
    const walk = begin(again('2 times every 5 min if "Patchy?"'));
    walk.happens("inject again ends", "0:30").happens("wait 5 min ends", "5:30");
    expect(walk.may).toEqual(["Patchy?: no at 5:30", "Patchy?: yes at 5:30"]);
    expect(walk.happens("Patchy?: no", "5:30").inHand).toBe("watch 1 min");
  });
});
