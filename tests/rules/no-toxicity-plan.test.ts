import { describe, expect, test } from "vitest";
import { judged } from "./judged-sections.ts";
import { ask, emergencyOf, FIRST_AID, GIVE, LIPID, onSigns, throughoutOf } from "./toxicity-answers.ts";

function plan(...sections: readonly string[]) {
  const { findings, verdict } = judged("no-toxicity-plan", sections.join("\n"));
  return {
    says: findings.map(({ what }) => what),
    severities: findings.map(({ severity }) => severity),
    verdict,
  };
}

const GOOD = onSigns("go to emergency toxicity");

/** Steps with a stage between the injection and the release, in which these handlers stand. */
const stepsWith = (handlers: string, inStage = 'task "Operate" takes 5 min or more') => `steps {
  apply cuffs
  insert cannula
  exsanguinate by elevation 1 min
  inflate proximal
  confirm proximal
  inject local
  stage procedure {
    ${inStage}
    ${handlers}
    when hold reaches 45 min {
      end stage
    }
  }
  wait for hold
  deflate all
  recovery 30 min
}
`;

describe("the answer in `throughout`", () => {
  const SEVERE = ask("Severe?", "go to emergency toxicity", "watch 5 min");
  const MILD = `${FIRST_AID}\n${SEVERE}`;

  test.each([
    ["goes to an emergency", "", "go to emergency toxicity", "holds"],
    ["goes there once, and the run ends with it", "once", "go to emergency toxicity", "holds"],
    ["asks, and watches", "", MILD, "holds"],
    ["asks once", "once", MILD, "broken"],
    ["asks three times", "up to 3 times", MILD, "broken"],
    ["begins late", "not before 1 min", "go to emergency toxicity", "broken"],
    ["is for one cuff", "of proximal", "go to emergency toxicity", "broken"],
    ["does nothing", "", "", "broken"],
    ["watches only", "", "watch 5 min", "broken"],
    ["calls for help and oxygen only", "", FIRST_AID, "broken"],
    [
      "dismisses them under *no*",
      "",
      `${FIRST_AID}\n${ask("Severe?", "go to emergency toxicity", "")}`,
      "broken",
    ],
    [
      "dismisses them under *yes*",
      "",
      `${FIRST_AID}\n${ask("Fear?", "", "go to emergency toxicity")}`,
      "broken",
    ],
    [
      "goes on with the operation",
      "",
      `${FIRST_AID}\n${ask("Severe?", "go to emergency toxicity", 'task "Go on" takes 5 min')}`,
      "broken",
    ],
    [
      "asks, and asks the same again",
      "",
      ask("A?", "go to emergency toxicity", ask("B?", "go to emergency toxicity", "")),
      "broken",
    ],
    [
      "leads back where the cuff does not hold",
      "",
      `confirm proximal else {
  ${ask("Severe?", "go to emergency toxicity", "watch 5 min")}
}`,
      "broken",
    ],
  ] as const)("%s", (_, manner, steps, verdict) => {
    const said = plan(throughoutOf(onSigns(steps, manner)));
    expect(said.verdict).toBe(verdict);
    expect(said.severities).toEqual(verdict === "holds" ? [] : ["unsafe"]);
  });

  test("that treats in place leads back to the plan, and is then used up", () => {
    const emergency = emergencyOf(GIVE, "toxicity", "");
    const inPlace = (steps: string) => plan(LIPID, throughoutOf(onSigns(steps, "once")), emergency);
    expect(inPlace(`${FIRST_AID}\n${GIVE}`).says).toEqual([expect.stringContaining("can be used up")]);
    const ends = `${FIRST_AID}\n${GIVE}\ntask cuff-decision "Decide" takes 10 s to 5 min\nfinish`;
    expect(inPlace(ends).verdict).toBe("holds");
  });
});

describe("the answer of a stage", () => {
  test("does not stand in the way where it leads to the emergency, too", () => {
    expect(plan(throughoutOf(GOOD), stepsWith(GOOD)).verdict).toBe("holds");
  });

  test.each([
    ["watches only", onSigns("watch 5 min"), "leads to no emergency"],
    ["dismisses them", onSigns(ask("Real?", "go to emergency toxicity", "")), "dismisses signs"],
    ["does so once", onSigns("watch 5 min", "once"), "leads to no emergency"],
    ["does so late", onSigns("watch 5 min", "not before 10 min"), "leads to no emergency"],
    ["ends the stage", onSigns("end stage"), "leads to no emergency"],
    [
      "ends it under one answer",
      onSigns(ask("Severe?", "go to emergency toxicity", "end stage")),
      "dismisses signs",
    ],
  ] as const)("%s, and stands in the way of the one of `throughout`", (_, handler, says) => {
    expect(plan(throughoutOf(GOOD), stepsWith(handler))).toMatchObject({
      says: [expect.stringContaining(says)],
      severities: ["unsafe"],
    });
  });

  test("that is once or late leaves the one of `throughout` in force", () => {
    const stage = onSigns(
      `${FIRST_AID}\n${ask("Severe?", "go to emergency toxicity", "watch 5 min")}`,
      "once",
    );
    expect(plan(throughoutOf(GOOD), stepsWith(stage)).verdict).toBe("holds");
  });

  test("alone is none at the injection, the release and in recovery", () => {
    expect(plan("throughout {\n}\n", stepsWith(GOOD)).says).toEqual([
      expect.stringContaining("answered in one stage only"),
    ]);
  });

  test("in every stage, but not between them, is none either", () => {
    const stages = stepsWith(GOOD)
      .replace("  inject local\n", `  stage injection {\n    inject local\n    ${GOOD}\n  }\n`)
      .replace(
        "  wait for hold\n  deflate all\n  recovery 30 min\n",
        `  stage letting-down {\n    wait for hold\n    deflate all\n    ${GOOD}\n  }\n  recovery 30 min\n`,
      );
    expect(plan("throughout {\n}\n", stages).verdict).toBe("broken");
    const all = stages.replace(
      "  recovery 30 min\n",
      `  stage watching {\n    recovery 30 min\n    ${GOOD}\n  }\n`,
    );
    expect(plan("throughout {\n}\n", all).verdict).toBe("holds");
  });
});

describe("inside other handlers", () => {
  const ASKS = onSigns(`${FIRST_AID}\n${ask("Severe?", "go to emergency toxicity", "watch 5 min")}`);
  const LONG = 'when block-incomplete {\n  task "Infiltrate" takes 10 min to 20 min\n}';
  const SHORT = "when patient-distress {\n  wait 1 min to 5 min\n}";
  const ENDLESS = 'when patient-distress {\n  task "Talk with the patient"\n}';

  test.each([
    ["a long one keeps an answer waiting", ASKS, LONG, "up to 20 min"],
    ["one without an end does", ASKS, ENDLESS, "up to any time"],
    [
      "one of rounds does",
      ASKS,
      "when patient-distress {\n  repeat 6 times {\n    wait 1 min\n  }\n}",
      "up to 6 min",
    ],
    [
      "one branch does",
      ASKS,
      `when patient-distress {\n  ${ask("Pain?", "wait 6 min", "")}\n}`,
      "up to 6 min",
    ],
    ["one that waits for a timer does", ASKS, "when patient-distress {\n  wait for hold\n}", "up to 30 min"],
  ] as const)("%s", (_, answer, other, says) => {
    for (const sections of [[throughoutOf(answer), stepsWith(other)], [throughoutOf(answer, other)]]) {
      expect(plan(...sections)).toMatchObject({
        says: [expect.stringContaining(says)],
        severities: ["unsafe"],
      });
    }
  });

  test("a short one does not, and nor does any where the answer cuts in", () => {
    expect(plan(throughoutOf(ASKS), stepsWith(SHORT)).verdict).toBe("holds");
    for (const other of [LONG, ENDLESS]) {
      expect(plan(throughoutOf(GOOD), stepsWith(other)).verdict).toBe("holds");
      expect(plan(throughoutOf(GOOD, other)).verdict).toBe("holds");
    }
  });

  test("a long one before the injection keeps nothing waiting", () => {
    const early = `steps {
  stage preparation {
    apply cuffs
    insert cannula
    ${LONG}
  }
  exsanguinate by elevation 1 min
  inflate proximal
  confirm proximal
  inject local
  wait for hold
  deflate all
  recovery 30 min
}
`;
    expect(plan(throughoutOf(ASKS), early).verdict).toBe("holds");
  });

  test("the answer to a leak and one of a timer count like others", () => {
    const leak = "when cuff-leak {\n  inflate all\n  confirm all\n  wait 10 min\n}";
    expect(plan(throughoutOf(GOOD, leak)).verdict).toBe("holds");
    const timer = stepsWith('when hold reaches 20 min {\n  task "Film" takes 10 min\n}');
    expect(plan(throughoutOf(ASKS), timer).says).toEqual([expect.stringContaining("up to 10 min")]);
  });
});

test("an answer that leads to an emergency without lipid is judged elsewhere", () => {
  expect(plan(emergencyOf(FIRST_AID)).verdict).toBe("holds");
});

test("a protocol that answers nothing is told so, with the emergency that could be gone to", () => {
  expect(plan("throughout {\n}\n").says).toEqual(["Nothing in `example` answers signs of toxicity."]);
});

test("a line that is not understood may be the answer", () => {
  expect(plan(throughoutOf(onSigns("go to emergncy toxicity")))).toMatchObject({
    says: [],
    verdict: "not-decided",
  });
});
