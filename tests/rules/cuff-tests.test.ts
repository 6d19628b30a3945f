import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { judged } from "./judged-sections.ts";
import { checkExample, checkLaid } from "./page-examples.ts";

const base = (file: string) => readFileSync(join(import.meta.dirname, "base", file), "utf8");
const BASE = base("protocol.limb");

/** The steps of the base protocol, with others before the limb is emptied: the block itself takes up to 56 min. */
function stepsWith(before: string, edit = (text: string) => text): string {
  const at = BASE.indexOf("  steps {");
  const steps = BASE.slice(at, BASE.indexOf("\n  }", at) + 4);
  const emptied = "exsanguinate by elevation 1 min";
  return edit(steps.replace(emptied, `${before}\n    ${emptied}`));
}

/** What all rules find beside what they find without a test. */
function foundIn(sections: string): string[] {
  return checkExample(sections).check.findings.map(
    ({ rule, severity, what }) => `${severity} ${rule}: ${what}`,
  );
}

function tried(...cuffs: readonly string[]): string {
  return cuffs.map((cuff) => `inflate ${cuff}\nconfirm ${cuff}\ndeflate ${cuff}`).join("\n");
}

const ONE_BY_ONE = tried("proximal", "distal");

describe("a short test of the cuffs before anything is injected is no occlusion, and no rule finds anything", () => {
  test.each([
    ["each cuff, and then a wait", `${ONE_BY_ONE}\nwait 30 min`],
    ["the proximal one alone", `${tried("proximal")}\nwait 30 min`],
    ["both together", `${tried("all")}\nwait 30 min`],
    ["each cuff, and the block at once", ONE_BY_ONE],
    [
      "the distal one comes up while the proximal one is up",
      "inflate proximal\nconfirm proximal\ninflate distal\nconfirm distal\ndeflate proximal\ndeflate distal\nwait 30 min",
    ],
    ["held for some minutes", "inflate all\nconfirm all\nwait 4 min\ndeflate all\nwait 30 min"],
    [
      "with the pulse felt",
      "inflate proximal\nconfirm proximal\nconfirm no pulse\ndeflate proximal\nwait 30 min",
    ],
    [
      "before the cannula",
      `${tried("all")}\nremove cannula\nwait 20 min\ninsert cannula\ntask cannula-check "Looked at"`,
    ],
    [
      "the limb padded anew between the two",
      `${tried("proximal")}\ntask "Pad the arm anew"\n${tried("distal")}\nwait 30 min`,
    ],
    ["twice, with half an hour between", `${ONE_BY_ONE}\nwait 30 min\n${ONE_BY_ONE}\nwait 30 min`],
    ["in a stage", `stage trial {\n${ONE_BY_ONE}\n}\nwait 30 min`],
    ["by a question", `ask "Is the machine new?" {\nyes {\n${ONE_BY_ONE}\nwait 30 min\n}\nno {\n}\n}`],
    [
      "again where it was not firm",
      "inflate proximal\nconfirm proximal else {\ninflate proximal\nconfirm proximal\n}\ndeflate proximal\nwait 30 min",
    ],
    ["in rounds", `repeat 2 times {\n${tried("all")}\nwait 5 min\n}`],
  ])("%s", (_, before) => {
    expect(foundIn(stepsWith(before))).toEqual(foundIn(stepsWith("")));
  });
});

const tooLong = (sections: string) => judged("occlusion-too-long", sections).findings.map(({ what }) => what);

describe("what is no short test counts on", () => {
  test.each([
    ["cuffs that were up for long", "inflate all\nconfirm all\nwait 6 min\ndeflate all\nwait 30 min"],
    [
      "a long one that follows a short one",
      `${tried("all")}\nwait 10 min\ninflate all\nwait 15 min\ndeflate all`,
    ],
    [
      "a task of any length with the cuffs up",
      'inflate all\nconfirm all\ntask "Look at the gauge"\ndeflate all',
    ],
    ["many short ones after one another", `repeat 10 times {\ninflate all\nwait 2 min\ndeflate all\n}`],
    [
      "many short ones with moments between them",
      `repeat 10 times {\ninflate all\nwait 2 min\ndeflate all\nwait 1 min\n}`,
    ],
    [
      "one answer that is long",
      `inflate all\nconfirm all\nask "Firm?" {\nyes {\n}\nno {\nwait 20 min\n}\n}\ndeflate all`,
    ],
    [
      "one cuff that stays up",
      "inflate proximal\nconfirm proximal\ninflate distal\nconfirm distal\ndeflate distal\nwait 20 min\ndeflate proximal",
    ],
    [
      "one cuff after the other without a moment between",
      "inflate proximal\nwait 4 min\ninflate distal\ndeflate proximal\nwait 10 min\ndeflate distal",
    ],
    [
      "an event that holds it up",
      `stage trial {\ninflate all\nconfirm all\ntask "Look" takes 10 s to 1 min\nwhen patient-distress once {\nwait 30 min\n}\n}\ndeflate all`,
    ],
  ])("%s", (_, before) => {
    expect(tooLong(`${stepsWith(before)}\n`)).toHaveLength(1);
  });

  test("a second of flat cuffs after a long occlusion", () => {
    const trying = "inflate proximal\nconfirm proximal\nwait 20 min";
    const begins = / {4}exsanguinate by elevation[\s\S]*? {4}deflate distal\n/;
    const again = (down: string) =>
      stepsWith("", (text) =>
        text.replace(
          begins,
          `    exsanguinate by elevation 1 min\n    exsanguinate by bandage\n${trying}\n${down}\n`,
        ),
      );
    expect(tooLong(again("deflate proximal takes 1 s\ninflate proximal\nconfirm proximal"))).toHaveLength(1);
    expect(tooLong(again("deflate all for 1 s\nconfirm proximal"))).toHaveLength(1);
    expect(tooLong(again(""))).toHaveLength(1);
  });

  test("all that comes after the release", () => {
    const again = (lines: string) =>
      stepsWith("", (text) => text.replace("    wait for hold\n", `    wait for hold\n${lines}\n`));
    expect(tooLong(again("deflate all for 10 s\nwait 20 min"))).toHaveLength(1);
    expect(tooLong(again("deflate all\nwait 1 min\ninflate all\nconfirm all\nwait 20 min"))).toHaveLength(1);
  });
});

test("how short a test is, and how long the pause before another, are for local rules to set, up to a bound", () => {
  const tooLongBy = (settings: string, before: string) => {
    const at = BASE.indexOf("  steps {");
    const protocol = `${BASE.slice(0, at)}${stepsWith(before)}${BASE.slice(BASE.indexOf("\n  }", at) + 4)}`;
    const files = new Map([
      ["formulary.limb", base("formulary.limb")],
      ["local-rules.limb", `local-rules tarn-hollow {\n${settings}\n}\n`],
      ["protocol.limb", protocol],
    ]);
    const { findings } = checkLaid({ file: "protocol.limb", firstLine: 1, files });
    return findings.filter(({ rule }) => rule === "occlusion-too-long").length;
  };
  const short = "inflate all\nconfirm all\nwait 2 min\ndeflate all\nwait 30 min";
  expect(tooLongBy("set cuff-test-time 2 min", short)).toBe(1);
  expect(tooLongBy("set cuff-test-time 3 min", short)).toBe(0);
  const long = "inflate all\nconfirm all\nwait 8 min\ndeflate all\nwait 30 min";
  const why = 'because "The machine tests itself" by "Anaesthesia lead"';
  expect(tooLongBy("", long)).toBe(1);
  expect(tooLongBy(`set cuff-test-time 10 min ${why}`, long)).toBe(0);
  // Past the bound, or without a reason, the standard counts.
  expect(tooLongBy(`set cuff-test-time 11 min ${why}`, long)).toBe(1);
  expect(tooLongBy("set cuff-test-time 10 min", long)).toBe(1);
  const often = "repeat 4 times {\ninflate all\nwait 3 min\ndeflate all\nwait 2 min\n}\nwait 30 min";
  expect(tooLongBy("", often)).toBe(0);
  expect(tooLongBy("set cuff-test-pause 3 min", often)).toBe(1);
});

test("a timer from the first inflation counts anew as well", () => {
  const timers = `timer hold from end of local {
    at least 30 min
    at most 50 min
  }
  timer ischaemia from first inflation {
    at most 60 min
  }
  `;
  const claims = (before: string) =>
    judged("timer-claim-broken", `${timers}${stepsWith(before)}`).findings.map(({ what }) => what);
  expect(claims(`${ONE_BY_ONE}\nwait 30 min`)).toEqual([]);
  expect(claims("inflate all\nwait 6 min\ndeflate all\nwait 30 min")).toHaveLength(1);
});
