import { describe, expect, test } from "vitest";
import { judged } from "./judged-sections.ts";
import { ask, emergencyOf, FIRST_AID, GIVE, LIPID, onSigns, throughoutOf } from "./toxicity-answers.ts";

function late(...sections: readonly string[]) {
  const { findings, verdict } = judged("lipid-late", sections.join("\n"));
  return {
    says: findings.map(({ what }) => what),
    severities: findings.map(({ severity }) => severity),
    verdict,
  };
}

/** What is said of steps in the emergency that all signs of toxicity lead to. */
const inEmergency = (steps: string) => late(emergencyOf(steps));

test.each([
  ["a wait", "wait 5 min"],
  ["watching", "watch 1 min"],
  ["a task without a topic", 'task "Ask the surgeon to stop" takes 1 min'],
  ["the decision on the cuff", 'task cuff-decision "Decide" takes 10 s to 5 min'],
  ["another decision", 'task anaesthetic-decision "Which anaesthetic now?"'],
  ["the pause", 'task pause "Read aloud"'],
  ["a cuff that is let down", "deflate all for 10 s"],
  ["the release", "deflate all"],
  ["a cannula that is taken out", "remove cannula"],
  ["recovery", "recovery 30 min"],
  ["waiting for a timer", "wait for hold"],
  ["more local anaesthetic", "inject local"],
] as const)("%s may not come before the lipid, wherever it stands", (_, step) => {
  for (const steps of [`${step}\n${FIRST_AID}`, `${FIRST_AID}\n${step}`, `task help "Help"\n${step}`]) {
    expect(inEmergency(`${steps}\n${GIVE}`)).toMatchObject({
      says: [expect.stringContaining("comes before the first lipid")],
      severities: ["unsafe"],
      verdict: "broken",
    });
  }
  expect(inEmergency(`${FIRST_AID}\n${GIVE}\n${step}`).says).toEqual([]);
});

test.each([
  ["help and oxygen", FIRST_AID],
  ["nothing at all", ""],
  ["stopping the injection", 'task stop-injection "Stop injecting"'],
  ["the cuff that is up", "confirm proximal"],
  ["the other cuff", "inflate distal\nconfirm distal"],
  ["seizure and arrest", 'task seizure "Stop it"\ntask arrest "Resuscitate"'],
  ["times that are short", 'task oxygen "Oxygen" takes 10 s to 1 min\ntask arrest "Two hands" takes 2 min'],
  ["a question whose answers both go on", ask("Fitting?", 'task seizure "Stop it"', "")],
  ["a stage", `stage first-aid {\n${FIRST_AID}\n}`],
  ["a leak of the cuff that is felt", `confirm proximal else {\n  inflate distal\n  confirm distal\n}`],
] as const)("%s may come before the lipid", (_, steps) => {
  expect(inEmergency(`${steps}\n${GIVE}`)).toEqual({ says: [], severities: [], verdict: "holds" });
});

describe("what takes long", () => {
  const takes = (...times: readonly string[]) =>
    inEmergency(`${times.map((time) => `task oxygen "Oxygen" takes ${time}`).join("\n")}\n${GIVE}`);

  test("a step of first aid may not take longer than the parameter, nor several together", () => {
    expect(takes("20 min").says).toEqual([
      'With `task "Oxygen"`, what comes before the first lipid may take 20 min; 3 min is the most.',
    ]);
    expect(takes("3 min").says).toEqual([]);
    expect(takes("1 min to 181 s").says).toHaveLength(1);
    expect(takes("1 min", "1 min", "1 min").says).toEqual([]);
    expect(takes("1 min", "1 min", "61 s").says).toHaveLength(1);
  });

  test("a step that may take any time is too long", () => {
    expect(takes("1 min or more").says).toEqual([expect.stringContaining("may take any time")]);
  });

  test("a stage that lasts longer than its steps counts with its shortest time", () => {
    const stage = (time: string) => inEmergency(`stage first-aid takes ${time} {\n${FIRST_AID}\n}\n${GIVE}`);
    expect(stage("10 min or more").says).toEqual([expect.stringContaining("10 min")]);
    expect(stage("10 s to 20 min").says).toEqual([]);
  });

  test("what is repeated before the lipid is too long, whatever it is", () => {
    expect(inEmergency(`repeat 30 times {\n${FIRST_AID}\n}\n${GIVE}`).says).toEqual([
      "`repeat 30 times` goes round again before the first lipid.",
    ]);
    expect(inEmergency(`repeat 1 times {\n${FIRST_AID}\n}\n${GIVE}`).says).toEqual([]);
    expect(inEmergency(`repeat 3 times {\n${FIRST_AID}\ngive lipid-bolus\nwait 5 min\n}`).says).toEqual([]);
  });

  test("an infusion by the hour may run before the bolus, one that is waited for may not", () => {
    expect(inEmergency(`${FIRST_AID}\ngive lipid-infusion\ngive lipid-bolus`).says).toEqual([]);
    expect(inEmergency(`${FIRST_AID}\ngive lipid-infusion\nwait 5 min\ngive lipid-bolus`).says).toHaveLength(
      1,
    );
    const slow = LIPID.replace("rate 15 mL/kg/h\n    total up to 12 mL/kg", "amount 250 mL\n    over 20 min");
    expect(late(emergencyOf("give lipid-infusion\ngive lipid-bolus", "toxicity", slow)).says).toEqual([
      expect.stringContaining("may take 20 min"),
    ]);
  });
});

describe("other drugs", () => {
  const DRUGS = `agent midazolam {\n  kind adjuvant\n  atc "N05CD08"\n  concentration 1 mg/mL\n  maximum 10 mg\n}
agent adrenaline {\n  kind rescue\n  atc "C01CA24"\n  concentration 0.1 mg/mL\n  maximum 1 mg\n}\n`;
  const GIVEN = `${LIPID}
  dose sedative of midazolam {\n    amount 2 mg\n    over 10 s\n  }
  dose pressor of adrenaline {\n    amount 0.05 mg\n    over 10 s\n  }`;

  function withDrugs(steps: string) {
    const protocol = `use "formulary.limb"\n${DRUGS}protocol small "Small" {
  version 0.1.0
  status draft
  patients {\n    age 16 to 85 years\n    weight 45 to 130 kg\n    systolic 90 to 180 mmHg\n  }
  cuffs proximal on upper-arm {\n    pressure 250 mmHg\n    ceiling 300 mmHg\n  }
  dose local of lidocaine {\n    amount 3 mg/kg up to 200 mg\n    over 90 s\n  }
  steps {\n    inflate proximal\n    confirm proximal\n    inject local\n    recovery 30 min\n  }
  ${throughoutOf(onSigns("go to emergency toxicity"))}
  ${emergencyOf(steps, "toxicity", GIVEN)}
}`;
    return late(protocol).says;
  }

  test("a drug may not come before the lipid", () => {
    expect(withDrugs(`${FIRST_AID}\ngive pressor\n${GIVE}`)).toEqual([
      "After signs of toxicity `give pressor` comes before the first lipid.",
    ]);
    expect(withDrugs(`${FIRST_AID}\ngive sedative\n${GIVE}`)).toHaveLength(1);
    expect(withDrugs(`${FIRST_AID}\n${GIVE}\ngive sedative`)).toEqual([]);
  });

  test("but a benzodiazepine is seizure control, and adrenaline is resuscitation, each after the task that says so", () => {
    expect(withDrugs(`${FIRST_AID}\ntask seizure "Small doses"\ngive sedative\n${GIVE}`)).toEqual([]);
    expect(withDrugs(`${FIRST_AID}\ntask arrest "Resuscitate"\ngive pressor\n${GIVE}`)).toEqual([]);
    expect(withDrugs(`${FIRST_AID}\ntask arrest "Resuscitate"\ngive sedative\n${GIVE}`)).toHaveLength(1);
    expect(withDrugs(`${FIRST_AID}\ntask seizure "Small doses"\ngive local\n${GIVE}`)).toHaveLength(1);
  });

  test("and to a patient who is only watched no drug is given, whatever it is for", () => {
    const watched = `task seizure "Small doses"\ngive sedative\nwatch 1 min\n${ask("Worse?", GIVE, "")}`;
    expect(withDrugs(`${FIRST_AID}\n${ask("Severe?", GIVE, watched)}`)).toEqual([
      expect.stringContaining("`give sedative` is a drug"),
    ]);
  });
});

describe("the way through", () => {
  const WAIT = `${FIRST_AID}\nwait 10 min\n${GIVE}`;
  const found = [expect.stringContaining("`wait 10 min` comes before the first lipid")];

  test("one answer to a question", () => {
    expect(inEmergency(`${FIRST_AID}\n${ask("Line in?", "", "wait 10 min")}\n${GIVE}`).says).toHaveLength(1);
    expect(
      inEmergency(`${FIRST_AID}\n${ask("Line in?", "wait 10 min", "wait 10 min")}\n${GIVE}`).says,
    ).toHaveLength(2);
  });

  test("a routine", () => {
    expect(
      late(`routine first-aid {\n  ${FIRST_AID}\n  wait 10 min\n}\n`, emergencyOf(`do first-aid\n${GIVE}`))
        .says,
    ).toEqual(found);
  });

  test("a cuff that does not hold", () => {
    expect(inEmergency(`confirm proximal else {\n  wait 10 min\n}\n${GIVE}`).says).toEqual(found);
  });

  test("a stage, left early or not", () => {
    expect(inEmergency(`stage aid {\n${FIRST_AID}\nwait 10 min\n}\n${GIVE}`).says).toEqual(found);
    expect(inEmergency(`stage aid {\n${FIRST_AID}\nend stage\nwait 10 min\n}\n${GIVE}`).says).toEqual([]);
    expect(inEmergency(`stage aid {\n${FIRST_AID}\nend stage\n}\nwait 10 min\n${GIVE}`).says).toEqual(found);
  });

  test("what may come in between in a stage", () => {
    const stage = (body: string) =>
      inEmergency(`stage aid {\n${FIRST_AID}\n${GIVE}\nwhen patient-distress {\n  ${body}\n}\n}`).says;
    expect(stage("wait 10 min")).toEqual(found);
    expect(stage('task seizure "Stop it"')).toEqual([]);
  });

  test("the steps of the handler before its emergency", () => {
    const beforeIt = (steps: string) =>
      late(throughoutOf(onSigns(`${steps}\ngo to emergency toxicity`))).says;
    expect(beforeIt("wait 10 min")).toEqual(found);
    expect(beforeIt(FIRST_AID)).toEqual([]);
  });

  test("from one emergency into the next", () => {
    const second = emergencyOf(`${FIRST_AID}\n${GIVE}`, "second");
    expect(late(emergencyOf("wait 10 min\ngo to emergency second", "toxicity", ""), second).says).toEqual(
      found,
    );
    expect(late(emergencyOf("go to emergency second", "toxicity", ""), second).says).toEqual([]);
    expect(
      late(emergencyOf("go to emergency second", "toxicity", ""), emergencyOf(WAIT, "second")).says,
    ).toEqual(found);
  });

  test("emergencies that lead to each other in a circle", () => {
    const first = emergencyOf(`${FIRST_AID}\n${ask("Severe?", GIVE, "go to emergency watching")}`);
    const back = (time: string) =>
      late(first, emergencyOf(`watch ${time}\ngo to emergency toxicity`, "watching", "")).says;
    expect(back("5 min")).toEqual([]);
    expect(back("1 h")).toEqual([expect.stringContaining("nobody asks for 1 h")]);
  });

  test("another answer to the same signs, another emergency, an answer of one stage, one in place", () => {
    const second = emergencyOf(WAIT, "second");
    const both = throughoutOf(onSigns("go to emergency toxicity"), onSigns("go to emergency second"));
    expect(late(both, second).says).toEqual(found);
    const asked = throughoutOf(
      onSigns(ask("Cuff up?", "go to emergency toxicity", "go to emergency second")),
    );
    expect(late(asked, second).says).toEqual([expect.stringContaining("`wait 10 min` is no watching")]);
    const stage = `steps {\n  inflate proximal\n  confirm proximal\n  inject local\n  stage procedure {
    task "Operate" takes 5 min\n    ${onSigns("wait 10 min\ngo to emergency toxicity")}\n  }\n  deflate all\n  recovery 30 min\n}\n`;
    expect(late(stage).says).toEqual(found);
    const inPlace = throughoutOf(onSigns(`${WAIT}`));
    expect(late(LIPID, inPlace).says).toEqual(found);
    expect(late(LIPID, throughoutOf(onSigns(`${FIRST_AID}\n${GIVE}`))).says).toEqual([]);
  });

  test("a way that ends without lipid", () => {
    expect(inEmergency(`${FIRST_AID}\n${ask("Fitting?", GIVE, "finish")}`).verdict).toBe("broken");
    expect(inEmergency(`confirm proximal else {\n  finish\n}\n${GIVE}`).says).toEqual([
      "One way through the answer to signs of toxicity ends without lipid.",
    ]);
    expect(inEmergency(`${FIRST_AID}\n${ask("Fitting?", GIVE, "")}`).verdict).toBe("broken");
  });
});

describe("mild signs", () => {
  const MILD = (no: string, before = FIRST_AID) => inEmergency(`${before}\n${ask("Severe?", GIVE, no)}`);
  const AGAIN = ask("Worse?", GIVE, "");

  test("are watched, and asked about again", () => {
    expect(MILD(`watch 5 min\n${AGAIN}`).verdict).toBe("holds");
    expect(MILD(`repeat 12 times {\n  watch 5 min\n${AGAIN}\n}`).verdict).toBe("holds");
    expect(MILD(`watch 5 min\ngo to emergency toxicity`).verdict).toBe("holds");
    expect(MILD(`task "Talk with the patient" takes 1 min\nwatch 4 min\n${AGAIN}`).verdict).toBe("holds");
  });

  test("are asked about the other way round as well", () => {
    const steps = `${FIRST_AID}\n${ask("Only tinnitus?", `watch 5 min\n${AGAIN}`, GIVE)}`;
    expect(inEmergency(steps).verdict).toBe("holds");
  });

  test("are watched in a stage that leads to lipid as soon as they are worse", () => {
    const stage = (manner: string) =>
      MILD(
        `stage observation {\n  watch 1 h\n  when patient-distress ${manner} once {\n    ${GIVE}\n    finish\n  }\n}`,
      );
    expect(stage("").verdict).toBe("holds");
    expect(stage("not before 30 min").says).toEqual([expect.stringContaining("nobody asks for 1 h")]);
  });

  test.each([
    ["are not dismissed", "", "nothing leads to the lipid"],
    ["are not left after one look", "watch 5 min", "nothing leads to the lipid"],
    ["are not asked about twice without being watched", AGAIN, "nothing leads to the lipid"],
    ["are not left for an hour", `watch 1 h\n${AGAIN}`, "nobody asks for 1 h"],
    ["are not left for several short times", `watch 3 min\nwatch 3 min\n${AGAIN}`, "nobody asks for 6 min"],
    ["are not left for rounds", `repeat 12 times {\n  watch 1 min\n}\n${AGAIN}`, "nobody asks for 6 min"],
    ["do not wait", `wait 5 min\n${AGAIN}`, "`wait 5 min` is no watching"],
    ["do not wait for the surgeon", `task "Finish the operation"\n${AGAIN}`, "nobody asks for any time"],
    ["are no time for a release", `watch 5 min\ndeflate all\n${AGAIN}`, "is a release"],
    ["are no time for a stage of a release", `deflate all for 10 s\nwatch 1 min\n${AGAIN}`, "is a release"],
    ["are no time for more local anaesthetic", `watch 1 min\ninject local\n${AGAIN}`, "is a drug"],
  ] as const)("%s", (_, no, says) => {
    expect(MILD(no).says).toEqual([expect.stringContaining(says)]);
    expect(MILD(no).severities).toEqual(["unsafe"]);
  });

  test("get help and oxygen before it is asked, or under the answer", () => {
    for (const before of ["", 'task help "Help"', 'task oxygen "Oxygen"']) {
      expect(MILD(`watch 5 min\n${AGAIN}`, before).says).toEqual([
        expect.stringContaining("goes on without help or without oxygen"),
      ]);
    }
    expect(MILD(`${FIRST_AID}\nwatch 5 min\n${AGAIN}`, "").says).toEqual([]);
  });

  test("may go back to the plan, where the next signs are answered anew", () => {
    const handler = (no: string) =>
      late(throughoutOf(onSigns(`${FIRST_AID}\n${ask("Severe?", "go to emergency toxicity", no)}`))).says;
    expect(handler("watch 5 min")).toEqual([]);
    expect(handler("watch 20 min")).toEqual([expect.stringContaining("nobody asks for 20 min")]);
    expect(handler("wait 5 min")).toEqual([expect.stringContaining("no watching")]);
    expect(handler("watch 5 min\ndeflate all")).toEqual([expect.stringContaining("is a release")]);
    expect(handler("watch 5 min\nfinish")).toEqual([expect.stringContaining("nothing leads to the lipid")]);
  });

  test("are watched as long as one likes where an event of the hospital's own leads to lipid at once", () => {
    const answers = throughoutOf(
      onSigns(`${FIRST_AID}\n${ask("Severe?", "go to emergency toxicity", "watch 20 min")}`),
      "when patient-worse {\n  go to emergency toxicity\n}",
    );
    const { says } = late('event patient-worse "Worse"\n', answers);
    expect(says).toEqual([]);
  });
});

test("where nothing is given or nothing answers, it is not decided, which is no pass", () => {
  expect(late(emergencyOf(FIRST_AID)).verdict).toBe("not-decided");
  expect(late("throughout {\n}\n").verdict).toBe("not-decided");
});

test("a line that is not understood is not taken for a way without lipid", () => {
  const { says, verdict } = inEmergency(`${FIRST_AID}\n${ask("Fitting?", GIVE, "giv lipid-bolus")}`);
  expect({ says, verdict }).toEqual({ says: [], verdict: "not-decided" });
});

test("one fault is told once, whichever way leads to it", () => {
  const steps = `${ask("Fitting?", 'task seizure "Stop it"', "")}\n${ask("Pulse?", "", 'task arrest "CPR"')}\nwait 10 min\n${GIVE}`;
  expect(inEmergency(steps).says).toHaveLength(1);
});
