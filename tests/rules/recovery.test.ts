import { describe, expect, test } from "vitest";
import { ruled } from "../language/runs/broken-rules.ts";
import { checkExample } from "./page-examples.ts";

const RULE = "recovery-too-short";
const HELD = "insert cannula\ninflate all\nconfirm all\ninject local\nwait 30 min";

function isFound(steps: string, more = ""): boolean {
  return ruled({ steps: `${HELD}\n${steps}`, more }).broken.includes(RULE);
}

describe("recovery is one stretch without a break", () => {
  test.each([
    ["none", "deflate all"],
    ["none, but a long wait", "deflate all\nwait 3 h"],
    ["none, but a long task", 'deflate all\ntask "Plaster" takes 40 min'],
    ["no time at all", "deflate all\nrecovery 0 s"],
    ["a second before a long task", 'deflate all\nrecovery 1 s\ntask "Plaster" takes 40 min'],
    ["a time that may be shorter", "deflate all\nrecovery 10 min to 40 min"],
    [
      "two halves with a task between",
      'deflate all\nrecovery 15 min\ntask "Move" takes 1 min\nrecovery 15 min',
    ],
    ["a long one after a short one", "deflate all\nrecovery 10 min\nrecovery 30 min"],
    ["halves in rounds", "deflate all\nrepeat 3 times {\nrecovery 10 min\n}"],
    ["one branch without", 'deflate all\nask "Well?" {\nyes {\nfinish\n}\nno {\nrecovery 30 min\n}\n}'],
    [
      "a stage that may be left",
      "deflate all\nstage ward {\nrecovery 30 min\nwhen surgery-done {\nend stage\n}\n}",
    ],
    ["a routine", "deflate all\ndo aftercare"],
    [
      "a handler",
      "stage work {\nwait 5 min\nwhen surgery-done once {\ndeflate all\nrecovery 5 min\nfinish\n}\n}\ndeflate all\nrecovery 30 min",
    ],
    [
      "an emergency",
      "stage work {\nwait 5 min\nwhen surgery-done {\ngo to emergency done\n}\n}\ndeflate all\nrecovery 30 min",
    ],
    ["one before the cuffs come up again", "deflate all\nrecovery 30 min\ninflate all\ndeflate all"],
  ])("%s is too short", (_, steps) => {
    const more =
      'routine aftercare {\nrecovery 10 min\n}\nemergency done "Done" {\ndeflate all\nrecovery 10 min\n}';
    expect(isFound(steps, more)).toBe(true);
  });

  test.each([
    ["one of 30 min", "deflate all\nrecovery 30 min"],
    ["one with what is done meanwhile", 'deflate all\nrecovery 30 min "Plaster and film meanwhile"'],
    ["one with a task before it", 'deflate all\ntask "Plaster" takes 10 min\nrecovery 30 min'],
    ["one with a long task after it", 'deflate all\nrecovery 30 min\ntask "To the ward"'],
    [
      "one after a release in stages",
      "repeat 2 times {\ndeflate all for 10 s\nwatch 1 min\n}\ndeflate all\nrecovery 30 min",
    ],
    ["one that is interrupted and goes on", "deflate all\nrecovery 30 min"],
    [
      "one in an emergency",
      "stage work {\nwait 5 min\nwhen surgery-done {\ngo to emergency done\n}\n}\ndeflate all\nrecovery 30 min",
    ],
  ])("%s is enough", (_, steps) => {
    const more =
      'throughout {\nwhen rain once {\ntask "Look" takes 5 min\n}\n}\nemergency done "Done" {\ndeflate all\nrecovery 30 min\n}';
    expect(isFound(steps, more)).toBe(false);
  });

  test("a run in which nothing was injected needs none", () => {
    expect(ruled({ steps: "inflate all\ndeflate all" }).broken).not.toContain(RULE);
  });
});

describe("a leak that leaves no cuff up is a release, after which recovery counts", () => {
  const verdict = (answer: string, cuffs: string) => {
    const { check } = checkExample(
      `cuffs ${cuffs} on upper-arm {\n  pressure greater of systolic + 100 mmHg and 250 mmHg\n  ceiling 300 mmHg\n  fits 25 to 40 cm\n}\nsteps {\n  insert cannula\n  exsanguinate by elevation 3 min\n  inflate proximal\n  confirm proximal\n  inject local\n  wait for hold\n  deflate all\n  recovery 30 min\n}\nthroughout {\n  when toxicity-signs {\n    go to emergency toxicity\n  }\n  when cuff-leak {\n    ${answer}\n  }\n}`,
    );
    return check.protocols[0]?.verdicts.find(({ rule }) => rule === RULE)?.kind;
  };

  test("where the answer leaves for the end", () => {
    expect(verdict("inflate all\nconfirm all\ndeflate all\nfinish", 'proximal "grey"')).toBe("broken");
  });

  test("but not where it goes on, or treats toxicity", () => {
    expect(verdict("inflate all\nconfirm all", 'proximal "grey"')).toBe("holds");
    expect(verdict("go to emergency toxicity", 'proximal "grey"')).toBe("holds");
  });
});

describe("a text that moves the patient during recovery", () => {
  const labelled = (steps: string) => {
    const { check } = checkExample(
      `steps {\napply cuffs\ninsert cannula\nexsanguinate by elevation 1 min\ninflate proximal\nconfirm proximal\nconfirm no pulse\ninject local\nwait for hold\ndeflate all\n${steps}\n}`,
      { about: [RULE] },
    );
    expect(check.findings.filter(({ severity }) => severity === "error")).toEqual([]);
    return check.findings
      .filter(({ rule }) => rule === RULE)
      .map(({ severity, label }) => `${severity} ${label}`);
  };

  test.each([
    "Moved to the ward meanwhile",
    "Plaster, transfer to X-ray",
    "On the way to the ward",
    "In the plaster room",
    "The patient may go home",
    "Discharge",
  ])("is doubtful as a note: %s", (note) => {
    expect(labelled(`recovery 30 min "${note}"`)).toEqual(["doubtful moves the patient"]);
  });

  test.each([
    "Plaster and film meanwhile",
    "Then to the ward",
    "Stays in the recovery room; nobody is moved to the ward before",
    "Moves the fingers, feels touch",
    "X-ray at the bedside",
    "Not fit to go home yet",
    "Oxygen, talk to the patient",
  ])("is not: %s", (note) => {
    expect(labelled(`recovery 30 min "${note}"`)).toEqual([]);
  });

  test("is doubtful in what a stage around it may have done meanwhile, and in a routine", () => {
    const stage =
      'stage rest {\nrecovery 30 min\nwhen surgery-done once {\ntask "Transfer to the ward" takes 1 min to 5 min\n}\n}';
    expect(labelled(stage)).toEqual(["doubtful moves the patient"]);
    expect(labelled('repeat 1 times {\nrecovery 30 min "Moved to the ward"\n}')).toEqual([
      "doubtful moves the patient",
    ]);
  });
});
