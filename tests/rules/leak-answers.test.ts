import { describe, expect, test } from "vitest";
import { timingOf } from "../../language/rules/engine/runs-for.ts";
import { leakHandlers } from "../../language/rules/facts/emergencies-reached.ts";
import { weaknessOfLeakAnswer } from "../../language/rules/facts/leak-answers.ts";
import { exploreRuns } from "../../language/runs/index.ts";
import { begin } from "../language/runs/automaton/walk.ts";
import { protocolOf } from "../language/runs/small-protocol.ts";

const STEPS =
  "insert cannula\ninflate all\nconfirm all\ninject local\nwait 30 min\ndeflate all\nrecovery 30 min";
const OTHERS = `emergency toxicity "Toxicity" {
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
routine rest {
wait 1 s
}`;

/** What is wrong with each answer of a protocol. */
function weaknesses(handlers: string, steps = STEPS, settings = ""): (string | undefined)[] {
  const more = `throughout {\nwhen toxicity-signs {\ngo to emergency toxicity\n}\n${handlers}\n}\n${OTHERS}`;
  const protocol = protocolOf({ steps, more, settings });
  return leakHandlers(protocol).map((handler) => weaknessOfLeakAnswer(handler, protocol));
}

const answer = (steps: string, of = "") => `when cuff-leak${of} once {\n${steps}\n}`;

const LATE = "may take longer than 1 min before a cuff is up and confirmed again";
const WAITS = "waits before a cuff is up and confirmed again";
const DOWN = "lets a cuff down before another one is up and confirmed";
const OPEN = "can be over without a cuff that it has inflated and confirmed";

describe("an answer to a leak", () => {
  test.each([
    ["that inflates and confirms", "inflate all\nconfirm all"],
    ["for the other cuff", "inflate distal\nconfirm distal\ndeflate proximal"],
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
    ["that injects", "inflate all\nconfirm all\ninject top-up", "injects"],
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

  test("is plan where another cuff stays up, and a release where none does", () => {
    const lead = `throughout {\n${answer("go to emergency toxicity")}\n}\nemergency toxicity "T" {\nwait 3 h\n}`;
    const phaseAfter = (cuffs: string) => {
      const protocol = protocolOf({ steps: STEPS, more: lead, cuffs });
      const runs = exploreRuns(protocol, { timing: timingOf(protocol), watchers: [], leaks: "one" });
      if (runs.kind !== "explored") throw new Error(runs.limit);
      const { automaton } = runs.traced;
      const taken = automaton.edges.filter(({ kind, says }) => kind === "start" && says.startsWith("go to"));
      return taken.map(({ to }) => (typeof to === "number" ? automaton.locations[to]?.phase : to)).sort();
    };
    expect(phaseAfter("proximal, distal")).toEqual(["emergency", "plan"]);
  });
});
