import { describe, expect, test } from "vitest";
import { injected, small } from "./small-protocol.ts";

const RULE = "sedation-not-watched";

const agentText = (name: string, code = "") =>
  `agent ${name} {\n  kind rescue\n  ${code}\n  concentration 1 mg/mL\n  maximum 5 mg\n  source "Test"\n}`;

const block = injected("local", "lidocaine", "1 mg/kg");
const calm = (name: string) => injected("calm", name, "1 mg");

function verdict(steps: string, { name = "midazolam", code = "", more = "", event = "" } = {}) {
  return small(RULE, {
    agents: `${event}\n${agentText(name, code)}`,
    doses: `${block}\n${calm(name)}`,
    steps,
    more,
  }).verdict;
}

const END = "wait 30 min\n    deflate all\n    recovery 30 min";
const GIVEN = `give calm\n    inject local\n    ${END}`;

describe("a sedative that is given asks for somebody who watches", () => {
  test.each(["midazolam", "propofol", "ketamine", "fentanyl", "morphine", "promethazine", "clonidine"])(
    "%s",
    (name) => {
      expect(verdict(GIVEN, { name })).toBe("broken");
    },
  );

  test("by its code alone", () => {
    expect(verdict(GIVEN, { name: "sleep-drops", code: 'atc "N05CD08"' })).toBe("broken");
    expect(verdict(GIVEN, { name: "ketorolac", code: 'atc "M01AB15"' })).toBe("holds");
  });

  test.each([
    ["in one branch", `inject local\n    ask "Anxious?" {\n yes {\n give calm\n }\n no { }\n }\n    ${END}`],
    [
      "in a stage's handler",
      `inject local\n    stage work {\n wait 5 min\n when patient-distress once {\n give calm\n }\n }\n    ${END}`,
    ],
    ["in a routine", `inject local\n    do calming\n    ${END}`, "routine calming {\n give calm\n }"],
    [
      "throughout",
      `inject local\n    ${END}`,
      "throughout {\n when tourniquet-pain once {\n give calm\n }\n }",
    ],
    [
      "in an emergency that pain leads to",
      `inject local\n    ${END}`,
      'throughout {\n when tourniquet-pain {\n go to emergency pain\n }\n }\n emergency pain "Pain" {\n give calm\n wait 30 min\n deflate all\n recovery 30 min\n }',
    ],
  ])("%s", (_, steps, more = "") => {
    expect(verdict(steps, { more })).toBe("broken");
  });

  test("mixed in behind the cuff, where it puts to sleep after the release", () => {
    const mixed = (name: string) =>
      small(RULE, {
        agents: agentText(name),
        doses: injected("local", "lidocaine", "1 mg/kg", `with ${name} 1 mg`),
        steps: `inject local\n    ${END}`,
      }).verdict;
    expect(mixed("ketamine")).toBe("broken");
    expect(mixed("dexmedetomidine")).toBe("broken");
    expect(mixed("fentanyl")).toBe("holds");
    expect(mixed("ketorolac")).toBe("holds");
  });
});

describe("it is answered", () => {
  const event = 'event drowsy "Drowsy, or breathing slowly"';

  test("by an event of its own with steps, not by one without", () => {
    const handler = (steps: string) => `throughout {\n when drowsy {\n ${steps}\n }\n }`;
    expect(verdict(GIVEN, { event, more: handler('task "Open the airway"') })).toBe("holds");
    expect(verdict(GIVEN, { event, more: handler("") })).toBe("broken");
  });

  test.each([
    'task "Nurse watches breathing and does nothing else" by "nurse"',
    'task "Sedation score every 5 min"',
  ])("by a task that says what is watched: %s", (task) => {
    expect(verdict(`${task}\n    ${GIVEN}`)).toBe("holds");
  });

  test.each(['task "Capnography is not needed"', 'task "Speak with the surgeon"'])(
    "not by other words: %s",
    (task) => {
      expect(verdict(`${task}\n    ${GIVEN}`)).toBe("broken");
    },
  );

  test("nor by what treats toxicity", () => {
    const more =
      'throughout {\n when toxicity-signs {\n go to emergency toxicity\n }\n }\n emergency toxicity "Toxicity" {\n task oxygen "Oxygen, open the airway"\n }';
    expect(verdict(GIVEN, { more })).toBe("broken");
  });
});

test("what is given after signs of toxicity is treatment", () => {
  const more =
    'throughout {\n when toxicity-signs {\n go to emergency toxicity\n }\n }\n emergency toxicity "Toxicity" {\n give calm\n }';
  expect(verdict(`inject local\n    ${END}`, { more })).toBe("holds");
});
