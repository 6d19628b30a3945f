import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { checkExample } from "./page-examples.ts";
import { ask, emergencyOf, FIRST_AID, GIVE, onSigns, throughoutOf } from "./toxicity-answers.ts";

/** What is found of a release to save limb or life: the rules that judge it, by severity. */
function found(text: string): string[] {
  const { check } = checkExample(text);
  return check.findings
    .filter(({ severity }) => severity !== "advice")
    .map(({ severity, rule }) => `${severity} ${rule}`)
    .sort();
}

const SAVE = 'deflate all for emergency "Limb at risk" by "anaesthetist in charge"';
const TOXICITY = onSigns("go to emergency toxicity");
const LEAK = "when cuff-leak {\ninflate all\nconfirm all\n}";

/** An answer to an event that leads to an emergency with these steps. */
function answered(event: string, steps: string, more = ""): string {
  const handlers = [TOXICITY, LEAK, `when ${event} {\ngo to emergency rescue\n}`];
  return `${throughoutOf(...handlers)}emergency rescue "Rescue" {\n${steps}\n}\n${more}`;
}

/** The whole base protocol, with an event that the hospital declares. */
function withOwnEvent(): string {
  const base = readFileSync(join(import.meta.dirname, "base/protocol.limb"), "utf8");
  return base
    .replace("protocol wrist", 'event surgeon-leaves "The surgeon leaves"\nprotocol wrist')
    .replace("when cuff-leak {", "when surgeon-leaves {\ngo to emergency rescue\n}\nwhen cuff-leak {")
    .replace('emergency toxicity "', `emergency rescue "Rescue" {\n${WATCHED}\n}\nemergency toxicity "`);
}

const WATCHED = `task help "Help" takes 10 s to 1 min\n${SAVE}\nrecovery 30 min`;

describe("a release to save limb or life", () => {
  test.each([
    ["where the limb is at risk", answered("limb-at-risk", WATCHED)],
    ["in an arrest", answered("cardiac-arrest", WATCHED)],
    [
      "behind a question",
      answered("limb-at-risk", `${ask("Pale and cold?", WATCHED, `wait 1 min\n${WATCHED}`)}`),
    ],
    [
      "by a routine",
      answered("limb-at-risk", "do let-down\nrecovery 30 min", `routine let-down {\n${SAVE}\n}\n`),
    ],
    [
      "by one emergency after another",
      answered(
        "cardiac-arrest",
        'task arrest "Resuscitate" takes 10 s to 1 min\ngo to emergency second',
        `emergency second "Second" {\n${WATCHED}\n}\n`,
      ),
    ],
    [
      "after signs of toxicity, where it is asked for",
      emergencyOf(
        `${FIRST_AID}\n${GIVE}\ntask seizure "Stop the seizure"\ntask arrest "Resuscitate"\ntask cuff-decision "Decide" by "anaesthetist in charge" takes 10 s to 5 min\n${ask("Limb or life at risk by the cuff?", `${SAVE}\nrecovery 30 min`, "")}`,
      ),
    ],
    [
      "where the limb is at risk while slow first aid for toxicity is given",
      answered("limb-at-risk", WATCHED).replace(
        TOXICITY,
        onSigns('task help "Help" takes 10 s to 30 s\ngo to emergency toxicity'),
      ),
    ],
  ])("%s is sound", (_, text) => {
    expect(found(text)).toEqual([]);
  });

  test.each([
    [
      "in the plan",
      `steps {\ninsert cannula\ninflate proximal\nconfirm proximal\ninject local\n${SAVE}\nrecovery 30 min\n}`,
      "early-release",
    ],
    ["where surgery is done", answered("surgery-done", WATCHED), "early-release"],
    ["where the cuff hurts", answered("tourniquet-pain", WATCHED), "early-release"],
    ["at an event of the hospital's own", withOwnEvent(), "early-release"],
    [
      "of which nobody decides",
      answered("limb-at-risk", "deflate all for emergency\nrecovery 30 min"),
      "early-release",
    ],
    [
      "to which something else leads, too",
      answered("limb-at-risk", WATCHED).replace(
        LEAK,
        `${LEAK}\nwhen surgery-done {\ngo to emergency rescue\n}`,
      ),
      "early-release",
    ],
    [
      "to which another emergency leads, too",
      answered("limb-at-risk", WATCHED, 'emergency finished "Over" {\ngo to emergency rescue\n}\n').replace(
        LEAK,
        `${LEAK}\nwhen surgery-done {\ngo to emergency finished\n}`,
      ),
      "early-release",
    ],
    ["in a handler", throughoutOf(TOXICITY, LEAK, `when limb-at-risk {\n${SAVE}\n}`), "no-cuff-up"],
    [
      "after signs of toxicity, whatever the patient is like",
      emergencyOf(`${FIRST_AID}\n${GIVE}\n${SAVE}\nrecovery 30 min`),
      "no-cuff-up",
    ],
    [
      "after signs of toxicity, whatever is answered",
      emergencyOf(`${FIRST_AID}\n${GIVE}\n${ask("Well?", SAVE, SAVE)}\nrecovery 30 min`),
      "no-cuff-up",
    ],
    ["without recovery", answered("limb-at-risk", SAVE), "recovery-too-short"],
    ["with a short recovery", answered("cardiac-arrest", `${SAVE}\nrecovery 5 min`), "recovery-too-short"],
    [
      "without recovery after signs of toxicity",
      emergencyOf(`${FIRST_AID}\n${GIVE}\n${ask("Limb at risk?", SAVE, "")}`),
      "recovery-too-short",
    ],
    [
      "with a short recovery after signs of toxicity",
      emergencyOf(`${FIRST_AID}\n${GIVE}\n${ask("Limb at risk?", `${SAVE}\nrecovery 5 min`, "")}`),
      "recovery-too-short",
    ],
  ])("%s is unsafe", (_, text, rule) => {
    expect(found(text)).toContain(`unsafe ${rule}`);
  });

  test("keeps the answer to toxicity in force", () => {
    const stages = answered("limb-at-risk", WATCHED).replace(TOXICITY, "");
    expect(found(stages)).toContain("unsafe no-toxicity-plan");
  });
});
