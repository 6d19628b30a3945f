import { describe, expect, test } from "vitest";
import { parametersFor } from "../../language/rules/engine/parameters.ts";
import { timingOf } from "../../language/rules/engine/runs-for.ts";
import { leakHandlers } from "../../language/rules/facts/emergencies-reached.ts";
import { mayBeUsedUp, weaknessOfLeakAnswer } from "../../language/rules/facts/leak-answers.ts";
import { STATED } from "../../language/rules/generated/stated.ts";
import { exploreRuns } from "../../language/runs/index.ts";
import { begin } from "../language/runs/automaton/walk.ts";
import { protocolOf } from "../language/runs/small-protocol.ts";

const STEPS =
  "insert cannula\ninflate all\nconfirm all\ninject local\nwait 30 min\ndeflate all\nrecovery 30 min";
const OTHERS = `timer hold from end of local {
at least 30 min
}
emergency toxicity "Toxicity" {
task help "Help"
}
emergency pause "Pause" {
wait 30 min
deflate all
}
emergency mend "Mend" {
inflate all
confirm all
}
routine bring-up {
inflate all
confirm all
}
emergency swap "Swap" {
inflate distal
confirm distal
deflate proximal
}
emergency abandon "Abandon" {
inflate all
confirm all
wait for hold
deflate all
recovery 30 min
}
emergency distressed "Distressed" {
stage settle {
inflate all
confirm all
task "Settle" takes 1 min
when patient-distress {
deflate all
}
}
}
routine slowly {
inflate all takes 20 min
confirm all
}
routine rest {
wait 1 s
}`;

/** What is wrong with each answer of a protocol. */
function weaknesses(handlers: string, steps = STEPS, settings = "", others = OTHERS): (string | undefined)[] {
  const more = `throughout {\nwhen toxicity-signs {\ngo to emergency toxicity\n}\n${handlers}\n}\n${others}`;
  const protocol = protocolOf({ steps, more, settings });
  const { value: minimum } = parametersFor(STATED["early-release"], protocol.localRules)("minimum");
  return leakHandlers(protocol).map((handler) => weaknessOfLeakAnswer(handler, protocol, minimum.valueOf()));
}

const answer = (steps: string, of = "") => `when cuff-leak${of} up to 9 times {\n${steps}\n}`;

const LATE = "may take longer than 1 min before a cuff begins to come up again";
const SLOW = "may take longer than 2 min until the cuff that comes up is confirmed";
const SOUND = (leaking: string) =>
  `lets the other cuff down where \`${leaking}\` leaks: the one that has leaked is left alone`;
const INJECTS = "injects before a cuff is confirmed and somebody has decided that more is given";
const WAITS = "waits before a cuff is up and confirmed again";
const DOWN = "lets a cuff down before another one is up and confirmed";
const OPEN = "can be over without a cuff that it has inflated and confirmed";

/** An emergency that holds the drug, and then lets the cuffs down in its own way. */
const leaving = (down: string) =>
  `emergency leave "Leave" {\ninflate all\nconfirm all\n${down}\nrecovery 30 min\n}`;

const APART = "deflate distal\ndeflate proximal";

describe("in an emergency after a leak the cuffs", () => {
  const weaknessOf = (down: string, steps = STEPS, settings = "") =>
    weaknesses(answer("go to emergency leave"), steps, settings, `${OTHERS}\n${leaving(down)}`);

  test.each([
    ["after the wait", `wait for hold\n${APART}`],
    ["the other one first", "wait for hold\ndeflate proximal\ndeflate distal"],
    ["with a minute between", "wait for hold\ndeflate distal\nwatch 1 min\ndeflate proximal"],
    ["after as long a time", `wait 30 min\n${APART}`],
    ["after a task that follows the wait", `wait for hold\ntask "Dress"\n${APART}`],
    ["confirmed once more", `wait for hold\nconfirm all\n${APART}`],
    ["whatever is answered", `wait for hold\nask "Pink?" {\nyes {\n${APART}\n}\nno {\ndeflate all\n}\n}`],
  ])("may come down one by one %s", (_, down) => {
    expect(weaknessOf(down)).toEqual([undefined]);
  });

  test.each([
    ["before the wait", `deflate distal\nwait for hold\ndeflate proximal`],
    ["after a shorter time", `wait 29 min\n${APART}`],
    ["where one answer waits for less", `ask "Pink?" {\nyes {\nwait for hold\n}\nno {\n}\n}\n${APART}`],
    [
      "where more was given since",
      `wait for hold\nask "More?" {\nyes {\ninject local\n}\nno {\n}\n}\n${APART}`,
    ],
  ])("may not %s: the one that has leaked is left alone", (_, down) => {
    expect(weaknessOf(down)).toEqual([SOUND("proximal")]);
  });

  test("may not where the timer counts from an injection that others may follow", () => {
    const topUp = STEPS.replace("inject local", "inject local\ninject top-up");
    expect(weaknessOf(`wait for hold\n${APART}`, topUp)).toEqual([SOUND("proximal")]);
  });

  test("wait as long as local rules ask for", () => {
    const longer = "set early-release.minimum 40 min";
    expect(weaknessOf(`wait for hold\n${APART}`, STEPS, longer)).toEqual([SOUND("proximal")]);
    expect(weaknessOf(`wait 40 min\n${APART}`, STEPS, longer)).toEqual([undefined]);
  });
});

describe("an answer to a leak", () => {
  test.each([
    ["that inflates and confirms", "inflate all\nconfirm all"],
    ["by a routine", "do bring-up"],
    ["that calls for help first", 'task help "Help"\ninflate all\nconfirm all'],
    ["that begins with a short task", 'task "Clamp" takes 5 s to 30 s\ninflate all\nconfirm all'],
    [
      "in both branches of a question",
      'ask "Well?" {\nyes {\ndo bring-up\n}\nno {\ninflate proximal\nconfirm proximal\n}\n}',
    ],
    ["with a second try", "inflate all\nconfirm all else {\ninflate all\nconfirm all\n}"],
    ["with toxicity where it fails", "inflate all\nconfirm all else {\ngo to emergency toxicity\n}"],
    ["that is the treatment of toxicity", "go to emergency toxicity"],
    ["in an emergency", "go to emergency mend"],
    [
      "that waits and asks afterwards",
      'inflate all\nconfirm all\nwait 5 min\nask "Go on?" {\nyes {\n}\nno {\nfinish\n}\n}',
    ],
    ["that comes up slowly", "inflate all takes 20 s to 1 min\nconfirm all takes 10 s to 30 s"],
    [
      "that tries the cuffs one after the other",
      "inflate distal\nconfirm distal else {\ninflate proximal\nconfirm proximal else {\ngo to emergency toxicity\n}\n}",
    ],
    [
      "that injects by decision",
      'inflate all\nconfirm all\nask "Give the rest?" {\nyes {\ninject top-up\n}\nno {\n}\n}',
    ],
    ["that releases in an emergency, later", "go to emergency abandon"],
    [
      "in a stage that a failure ends",
      "stage again {\ninflate distal\nconfirm distal else {\nend stage\n}\n}\ninflate all\nconfirm all",
    ],
  ])("%s is sound", (_, steps) => {
    expect(weaknesses(answer(steps))).toEqual([undefined]);
    expect(weaknesses(answer(steps, " of proximal"))).toEqual([undefined]);
  });

  test.each([
    ["that waits first", "wait 1 s\ninflate all\nconfirm all", WAITS],
    ["that watches first", "watch 1 min\ninflate all\nconfirm all", WAITS],
    ["that waits in a routine first", "do rest\ninflate all\nconfirm all", WAITS],
    ["that waits between inflating and confirming", "inflate all\nwait 1 min\nconfirm all", WAITS],
    ["that begins with a task without an end", 'task "Look for the leak"\ninflate all\nconfirm all', LATE],
    ["that begins with a long task", 'task "Look" takes 1 min to 2 min\ninflate all\nconfirm all', LATE],
    ["that begins with two actions", "confirm no pulse\nremove cannula\ninflate all\nconfirm all", LATE],
    ["that lets the cuff down first", "deflate proximal\ninflate distal\nconfirm distal", DOWN],
    ["that lets all down", "deflate all", DOWN],
    [
      "that lets the sore one down before the other is confirmed",
      "inflate distal\ndeflate proximal\nconfirm distal",
      DOWN,
    ],
    ["that lets down what it brought up", "inflate all\nconfirm all\ndeflate all", DOWN],
    ["that injects", "inflate all\nconfirm all\ninject top-up", INJECTS],
    [
      "that injects whatever is answered",
      'inflate all\nconfirm all\nask "Dry?" {\nyes {\n}\nno {\n}\n}\ninject top-up',
      INJECTS,
    ],
    [
      "that injects by decision before a cuff is up",
      'ask "Give the rest?" {\nyes {\ninject top-up\n}\nno {\n}\n}\ninflate all\nconfirm all',
      INJECTS,
    ],
    ["that inflates for long", "inflate all takes 20 min\nconfirm all", SLOW],
    ["that inflates without an end", "inflate all takes 5 s or more\nconfirm all", SLOW],
    ["that inflates for long in a routine", "do slowly", SLOW],
    ["that confirms for long", "inflate all\nconfirm all takes 20 min", SLOW],
    [
      "that confirms for long in one branch",
      'inflate all\nask "Well?" {\nyes {\nconfirm all\n}\nno {\nconfirm all takes 5 min\n}\n}',
      SLOW,
    ],
    [
      "that tries slowly once more",
      "inflate all\nconfirm all else {\ninflate all\nconfirm all takes 5 min\n}",
      SLOW,
    ],
    [
      "that begins with many short tasks",
      'repeat 9 times {\ntask "Look" takes 20 s\n}\ninflate all\nconfirm all',
      LATE,
    ],
    ["that lets a cuff down in a stage of an emergency", "go to emergency distressed", DOWN],
    ["that only says a task", 'task "Tell the anaesthetist" takes 10 s', OPEN],
    ["that only calls for help", 'task help "Help"', OPEN],
    ["that does nothing in one branch", 'ask "Firm?" {\nyes {\n}\nno {\ndo bring-up\n}\n}', OPEN],
    ["that ends in one branch", 'ask "Done?" {\nyes {\nfinish\n}\nno {\ndo bring-up\n}\n}', OPEN],
    ["that does not confirm", "inflate all", OPEN],
    ["that confirms another cuff", "inflate distal\nconfirm proximal", OPEN],
    ["that goes on where it fails", "inflate all\nconfirm all else {\n}", OPEN],
    ["that gives up where it fails", "inflate all\nconfirm all else {\nfinish\n}", OPEN],
    ["that ends its stage first", "stage again {\nend stage\ninflate all\nconfirm all\n}", OPEN],
    ["in an emergency that waits", "go to emergency pause", WAITS],
  ])("%s is not", (_, steps, weakness) => {
    expect(weaknesses(answer(steps))).toEqual([weakness]);
    expect(weaknesses(answer(steps, " of distal"))).toEqual([weakness]);
  });

  test.each([
    ["distal", "inflate distal\nconfirm distal\ndeflate proximal"],
    ["distal", "inflate all\nconfirm all\nwait 5 min\ndeflate proximal"],
    ["proximal", "inflate all\nconfirm all\ndeflate distal"],
    ["proximal", 'inflate all\nconfirm all\nask "Sore?" {\nyes {\ndeflate distal\n}\nno {\n}\n}'],
    [
      "proximal",
      "inflate distal\nconfirm distal\ndeflate proximal\ninflate proximal\nconfirm proximal\ndeflate distal",
    ],
    ["distal", "go to emergency swap"],
  ])("that leaves the drug behind %s, which has leaked, is not", (leaking, steps) => {
    const other = leaking === "distal" ? "proximal" : "distal";
    expect(weaknesses(answer(steps))).toEqual([SOUND(leaking)]);
    expect(weaknesses(answer(steps, ` of ${leaking}`))).toEqual([SOUND(leaking)]);
    expect(weaknesses(answer(steps, ` of ${other}`)).includes(SOUND(leaking))).toBe(false);
  });

  test("may let the cuff down that has leaked", () => {
    const handlers = `${answer("inflate distal\nconfirm distal\ndeflate proximal", " of proximal")}
${answer("inflate all\nconfirm all\ndeflate distal", " of distal")}`;
    expect(weaknesses(handlers)).toEqual([undefined, undefined]);
  });

  test.each([
    ["once", "inflate all\nconfirm all", true],
    ["up to 3 times", "inflate all\nconfirm all", true],
    ["", "inflate all\nconfirm all", false],
    ["once", "go to emergency toxicity", false],
    ["once", 'ask "Firm?" {\nyes {\n}\nno {\ngo to emergency toxicity\n}\n}', true],
    ["once", "inflate all\nconfirm all\ngive drip", true],
    ["up to 2 times", "inflate all\nconfirm all\ngive drip", false],
  ])("may be used up: %s { %s }: %s", (times, steps, isUsedUp) => {
    const protocol = protocolOf({
      steps: STEPS,
      more: `throughout {\nwhen toxicity-signs {\ngo to emergency toxicity\n}\nwhen cuff-leak ${times} {\n${steps}\n}\n}\n${OTHERS}`,
    });
    expect(leakHandlers(protocol).map((handler) => mayBeUsedUp(handler, protocol))).toEqual([isUsedUp]);
  });

  test("that is not in force at once is not", () => {
    const [weakness] = weaknesses("when cuff-leak not before 5 min {\ninflate all\nconfirm all\n}");
    expect(weakness).toContain("only 5 min after");
  });

  test("is weak for one cuff, whatever another one does", () => {
    const handlers = `${answer("inflate all\nconfirm all")}\n${answer("deflate all", " of distal")}`;
    expect(weaknesses(handlers)).toEqual([undefined, DOWN]);
  });

  test("has as long as local rules give an action", () => {
    const handlers = answer('task "Look" takes 1 min to 2 min\ninflate all\nconfirm all');
    expect(weaknesses(handlers, STEPS, 'set action-time 2 min because "Far rooms" by "Lead"')).toEqual([
      undefined,
    ]);
  });
});

describe("a leak while the drug is given", () => {
  const more = `throughout {\n${answer("inflate all\nconfirm all")}\n}`;

  test("ends the injection: it is not resumed when the answer is over", () => {
    const walk = begin(protocolOf({ steps: STEPS, more }), "one");
    walk
      .happens("insert cannula ends", "0:00")
      .happens("inflate all ends", "0:00")
      .happens("confirm all ends", "0:00");
    expect(walk.now).toBe("inject local at 0:00");
    walk.happens("proximal loses pressure", "0:20");
    expect(walk.now).toBe("inflate all at 0:20");
    expect(walk.is("hold runs")).toBe("yes");
    walk.happens("inflate all ends", "0:30").happens("confirm all ends", "0:40");
    expect(walk.now).toBe("wait 30 min at 0:40");
  });

  const injecting = (handlers: string, end = STEPS) => {
    const walk = begin(protocolOf({ steps: end, more: `throughout {\n${handlers}\n}\n${OTHERS}` }), "one");
    walk
      .happens("insert cannula ends", "0:00")
      .happens("inflate all ends", "0:00")
      .happens("confirm all ends", "0:00");
    expect(walk.now).toBe("inject local at 0:00");
    return walk;
  };

  test("ends it also while another handler has interrupted it", () => {
    const rain = "when rain once {\nwait 1 min\n}";
    const walk = injecting(`${rain}\n${answer("inflate all\nconfirm all")}`);
    walk
      .happens("rain", "0:20")
      .happens("proximal loses pressure", "0:40")
      .happens("wait 1 min ends", "1:20");
    walk.happens("cuff-leak", "1:20").happens("inflate all ends", "1:30").happens("confirm all ends", "1:40");
    expect(walk.now).toBe("wait 30 min at 1:40");
    expect(walk.clock("hold", "2:40")).toBe("1:00");
  });

  test("does not end an injection that begins after the interrupted one was left", () => {
    const rain = "when rain once {\nwait 1 min\nend stage\n}";
    const steps = `insert cannula\ninflate all\nconfirm all\nstage beginning {\ninject local\n${rain}\n}\ninject top-up\nwait 30 min`;
    const walk = injecting(answer("inflate all\nconfirm all"), steps);
    walk
      .happens("rain", "0:20")
      .happens("proximal loses pressure", "0:40")
      .happens("wait 1 min ends", "1:20");
    walk.happens("inflate all ends", "1:30").happens("confirm all ends", "1:40");
    expect(walk.now).toBe("inject top-up at 1:40");
    expect(walk.may).toContain("inject top-up ends at 2:10");
  });

  test.each([
    ["nothing", "inflate all\nconfirm all", "yes"],
    ["a question with one way on", 'ask "Dry?" {\nyes {\n}\nno {\n}\n}', "yes"],
    ["a question that parts the ways", 'ask "Go on?" {\nyes {\n}\nno {\nfinish\n}\n}', "no"],
    ["a task that says so", 'task cuff-decision "Decide" takes 1 s', "no"],
    ["another task", 'task "Look" takes 1 s', "yes"],
  ])("leaves it open whether more is given, until it is decided: %s", (_, steps, open) => {
    const again = STEPS.replace("inject local\n", "inject local\ninject local\n");
    const walk = injecting(answer(steps), again).happens("proximal loses pressure", "0:20");
    expect(walk.is("leak undecided")).toBe("yes");
    if (steps.startsWith("ask")) walk.happens(`${steps.slice(5, steps.indexOf("?"))}?: yes`, "0:20");
    else if (steps.startsWith("task"))
      walk.happens(`task ${steps.slice(steps.indexOf('"'), -" takes 1 s".length)} ends`, "0:21");
    expect(walk.is("leak undecided")).toBe(open);
  });

  test("leaves nothing open where nothing may be injected again", () => {
    const walk = injecting(answer("inflate all\nconfirm all")).happens("proximal loses pressure", "0:20");
    expect(walk.is("leak undecided")).toBe("no");
  });

  test("leaves nothing open before the injection", () => {
    const again = STEPS.replace("inject local\n", "inject local\ninject local\n");
    const walk = begin(protocolOf({ steps: again, more }), "one");
    walk.happens("insert cannula ends", "0:00").happens("inflate all ends", "0:00");
    expect(walk.happens("proximal loses pressure", "0:05").is("leak undecided")).toBe("no");
  });

  test("is plan where another cuff stays up, and a release where none does", () => {
    const lead = (to: string) => `throughout {
when toxicity-signs {
go to emergency toxicity
}
${answer(`go to emergency ${to}`)}
}
emergency toxicity "T" {
wait 3 h
}
emergency mend "M" {
wait 3 h
}`;
    const phaseAfter = (cuffs: string, to: string) => {
      const protocol = protocolOf({ steps: STEPS, more: lead(to), cuffs });
      const runs = exploreRuns(protocol, { timing: timingOf(protocol), watchers: [], leaks: "one" });
      if (runs.kind !== "explored") throw new Error(runs.limit);
      const { automaton } = runs.traced;
      const taken = automaton.edges.filter(
        ({ kind, says }) => kind === "start" && says === `go to emergency ${to}`,
      );
      return taken.map(({ to }) => (typeof to === "number" ? automaton.locations[to]?.phase : to)).sort();
    };
    // Signs of toxicity lead there, too.
    expect(phaseAfter("proximal, distal", "toxicity")).toEqual(["emergency", "emergency", "plan"]);
    expect(phaseAfter("proximal, distal", "mend")).toEqual(["plan"]);
  });
});
