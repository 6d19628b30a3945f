import { describe, expect, test } from "vitest";
import { judged } from "./judged-sections.ts";
import {
  ARRESTS,
  ask,
  DECISION,
  emergencyOf,
  FIRST_AID,
  GIVE,
  LIPID,
  onSigns,
  throughoutOf,
} from "./toxicity-answers.ts";

function lacks(...sections: readonly string[]) {
  const { findings, verdict } = judged("toxicity-plan-incomplete", sections.join("\n"));
  return { says: findings.map(({ severity, what }) => `${severity}: ${what}`), verdict };
}

const inEmergency = (...steps: readonly string[]) => lacks(emergencyOf(steps.join("\n")));

const ALL = [FIRST_AID, ARRESTS, GIVE, DECISION];

test("with all of it nothing lacks", () => {
  expect(inEmergency(...ALL)).toEqual({ says: [], verdict: "holds" });
});

test.each([
  ["seizure", "doubtful", "what is done about a seizure"],
  ["arrest", "doubtful", "what is done in an arrest"],
  ["help", "unsafe", "a call for help"],
  ["oxygen", "unsafe", "oxygen and the airway"],
  ["cuff-decision", "unsafe", "who decides on the cuff"],
] as const)("a missing task for %s is %s", (topic, severity, what) => {
  const steps = ALL.join("\n").replace(new RegExp(`^ *task ${topic} .*$`, "m"), "");
  expect(inEmergency(steps).says).toEqual([
    `${severity}: The emergency \`toxicity\`, to which signs of toxicity lead, lacks ${what}.`,
  ]);
  const asText = ALL.join("\n").replace(`task ${topic} `, "task ");
  expect(inEmergency(asText).says[0]).toContain(`lacks ${what}`);
});

describe("where it may stand", () => {
  test("under a question, in a routine, in a stage", () => {
    expect(inEmergency(FIRST_AID, ask("Fitting?", ARRESTS, ""), GIVE, DECISION).verdict).toBe("holds");
    expect(inEmergency(`stage aid {\n${FIRST_AID}\n${ARRESTS}\n}`, GIVE, DECISION).verdict).toBe("holds");
    const routine = `routine rescue {\n  ${FIRST_AID}\n  ${ARRESTS}\n}\n`;
    expect(lacks(routine, emergencyOf(`do rescue\n${GIVE}\n${DECISION}`)).verdict).toBe("holds");
  });

  test("in the handler before its emergency, and in an emergency it leads on to", () => {
    const before = throughoutOf(onSigns(`${FIRST_AID}\ngo to emergency toxicity`));
    expect(lacks(before, emergencyOf(`${ARRESTS}\n${GIVE}\n${DECISION}`)).verdict).toBe("holds");
    const onward = emergencyOf(`${FIRST_AID}\n${ARRESTS}\ngo to emergency lipid`, "toxicity", "");
    expect(lacks(onward, emergencyOf(`${GIVE}\n${DECISION}`, "lipid")).verdict).toBe("holds");
  });

  test("but not behind the end, and not in another emergency for the same signs", () => {
    expect(inEmergency(FIRST_AID, GIVE, DECISION, "finish", ARRESTS).says).toHaveLength(1);
    const second = emergencyOf(`${FIRST_AID}\n${GIVE}`, "second", "").replaceAll(
      "lipid-bolus",
      "lipid-bolus",
    );
    const both = throughoutOf(onSigns("go to emergency toxicity"), onSigns("go to emergency second"));
    expect(lacks(both, emergencyOf(ALL.join("\n")), second).says).toEqual([
      expect.stringContaining("unsafe: The emergency `second`"),
    ]);
  });

  test("in a handler that treats in place, which is judged like an emergency", () => {
    const inPlace = (steps: string) =>
      lacks(LIPID, throughoutOf(onSigns(steps, "once")), emergencyOf(ALL.join("\n"), "toxicity", ""));
    expect(inPlace(ALL.join("\n")).verdict).toBe("holds");
    expect(inPlace(`${FIRST_AID}\n${GIVE}\n${DECISION}`).says).toEqual([
      "doubtful: The answer to signs of toxicity treats in place, and lacks what is done about a seizure; what is done in an arrest.",
    ]);
  });

  test("an answer in a stage is judged, too", () => {
    const stage = `steps {\n  inflate proximal\n  confirm proximal\n  inject local\n  stage procedure {
    task "Operate" takes 5 min\n    ${onSigns("go to emergency second")}\n  }\n  deflate all\n  recovery 30 min\n}\n`;
    expect(lacks(stage, emergencyOf(ALL.join("\n")), emergencyOf(GIVE, "second", "")).says).toEqual([
      expect.stringContaining("The emergency `second`"),
    ]);
  });
});

describe("the decision on the cuff", () => {
  const decided = (decision: string, before = "") =>
    inEmergency(FIRST_AID, ARRESTS, GIVE, before, decision).says;

  test.each([
    [
      "says neither who nor when",
      'task cuff-decision "Leave the cuff?"',
      "does not say who decides, and by when.",
    ],
    ["does not say when", 'task cuff-decision "Leave the cuff?" by "anaesthetist"', "does not say by when."],
    [
      "may take any time",
      'task cuff-decision "The consultant decides" takes 1 min or more',
      "does not say by when.",
    ],
    [
      "does not say who",
      'task cuff-decision "Leave the cuff?" takes 10 s to 5 min',
      "does not say who decides.",
    ],
    [
      "may take hours",
      'task cuff-decision "The consultant decides" takes 1 min to 3 h',
      "up to 3 h 1 min after",
    ],
  ] as const)("that %s is doubtful", (_, decision, says) => {
    expect(decided(decision)).toEqual([expect.stringContaining(says)]);
    expect(decided(decision)[0]).toMatch(/^doubtful: /);
  });

  test.each([
    'task cuff-decision "Decide" by "anaesthetist" takes 10 s to 5 min',
    'task cuff-decision "Cuff release is decided by the anaesthetist in charge" takes 1 min to 20 min',
    'task cuff-decision "The team leader decides" takes 5 min',
    'task cuff-decision "Leave the cuff?" "Consultant on call" takes 5 min',
  ])("%s will do", (decision) => {
    expect(decided(decision)).toEqual([]);
  });

  test.each([
    ["a wait", "wait 3 h"],
    ["watching", "watch 1 h"],
    ["a task", 'task "Finish the operation" takes 10 min to 2 h'],
    ["rounds", "repeat 12 times {\n  wait 5 min\n}"],
    ["recovery in a stage", 'stage afterwards takes 1 h to 2 h {\n  task oxygen "Oxygen"\n}'],
    ["one answer", ask("Stable?", "wait 1 h", "")],
    ["a routine", "repeat 2 times {\n  repeat 2 times {\n    wait 10 min\n  }\n}"],
  ] as const)("behind %s comes late", (_, before) => {
    expect(decided(DECISION, before)).toEqual([
      expect.stringContaining("after the first lipid; 30 min is the most"),
    ]);
  });

  test("may come again later", () => {
    expect(decided(`wait 1 h\n${DECISION}`, DECISION)).toEqual([]);
  });

  test("counts from the lipid, however long mild signs were watched before", () => {
    const treat = `${GIVE}\n${DECISION}\nfinish`;
    const rounds = `repeat 24 times {\n${ask("Severe?", treat, "watch 5 min")}\n}`;
    expect(inEmergency(FIRST_AID, ARRESTS, rounds).says).toEqual([]);
  });
});
