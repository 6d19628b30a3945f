import type { Finding } from "@limbwright/shared/finding";
import { describe, expect, test } from "vitest";
import { checkExample } from "./page-examples.ts";

/** The protocol of the base with other sections in place of its own. */
function judged(sections: string) {
  const { check } = checkExample(sections);
  expect(check.findings.filter(({ severity }) => severity === "error")).toEqual([]);
  const protocol = check.protocols.find(({ protocol: { name } }) => name === "example");
  if (!protocol) throw new Error("the example has no protocol");
  return protocol;
}

/** What a rule found, with the run that shows it: its events, answers, task ends and last step. */
function shown(rule: string, sections: string): string[][] {
  return judged(sections)
    .findings.filter((finding) => finding.rule === rule)
    .map(keyLines);
}

function keyLines({ run }: Finding): string[] {
  return (run?.lines ?? []).filter(({ isKey }) => isKey).map(({ time, what }) => `${time} ${what}`);
}

/** Every rule that does not hold, apart from advice. */
function notHolding(sections: string): string[] {
  const { findings, verdicts } = judged(sections);
  const advice = new Set(findings.filter(({ severity }) => severity === "advice").map(({ rule }) => rule));
  return verdicts.flatMap(({ rule, kind }) =>
    kind === "holds" || advice.has(rule) ? [] : [`${rule} ${kind}`],
  );
}

const PREPARED = `apply cuffs
    task pause "Patient, limb, drug and dose read aloud"
    insert cannula
    exsanguinate by elevation 1 min
    exsanguinate by bandage
    inflate proximal
    confirm proximal
    remove bandage
    confirm no pulse
    task cannula-check "In the blocked limb"`;

const RELEASED = `wait for hold
    do staged-release
    recovery 30 min`;

const procedure = (handlers: string, takes = " takes 5 min or more") => `stage procedure {
      task "Reduce and splint"${takes}
      ${handlers}
    }`;

const AT_45 = `when hold reaches 45 min {
        end stage
      }`;

/** Steps from the first to the last, with what is done after the injection. */
const steps = (middle: string, prepared = PREPARED, released = RELEASED) => `steps {
    ${prepared}
    inject local
    remove cannula "Press on the puncture"
    ${middle}
    ${released}
  }`;

/** The earliest injection: 1 min of elevation before it, 90 s, and all else takes no time. */
const INJECTED = ["1:00 inject local", "2:30 inject local ends"];

const SWAP = `when tourniquet-pain not before 5 min once {
        inflate distal
        confirm distal
        deflate proximal
      }`;

test("the same protocol without a fault holds in every rule", () => {
  const decided = `when hold reaches 35 min {
        task anaesthetic-decision "Will it end in time?" by "anaesthetist"
      }`;
  const raised = `when systolic-rises {
        task "Raise the pressure by as much" takes 10 s to 1 min
      }`;
  expect(notHolding(steps(procedure([SWAP, raised, decided, AT_45].join("\n      "))))).toEqual([]);
});

describe("order of steps", () => {
  test("a release straight after a short procedure comes before the minimum", () => {
    const early = steps(procedure(AT_45), PREPARED, "do staged-release\n    recovery 30 min");
    expect(shown("early-release", early)).toEqual([
      [...INJECTED, '7:30 task "Reduce and splint" ends', "7:30 deflate all for 10 s"],
    ]);
  });

  test("a swap that deflates before it inflates leaves no cuff up", () => {
    const swap = `when tourniquet-pain once {
        deflate proximal
        inflate distal
        confirm distal
      }`;
    expect(shown("no-cuff-up", steps(procedure(`${swap}\n      ${AT_45}`)))).toEqual([
      [...INJECTED, "2:30 tourniquet-pain", "2:30 deflate proximal"],
    ]);
  });

  test("the wrong cuff inflated and confirmed at the swap leaves none up", () => {
    const swap = `when tourniquet-pain once {
        inflate proximal
        confirm proximal
        deflate proximal
      }`;
    expect(shown("no-cuff-up", steps(procedure(`${swap}\n      ${AT_45}`)))).toEqual([
      [...INJECTED, "2:30 tourniquet-pain", "2:30 deflate proximal"],
    ]);
  });

  test("an injection with the bandage on, before a cuff is confirmed, or into a limb that is open", () => {
    const after = procedure(AT_45);
    const prepared = (order: string) => `apply cuffs\n    insert cannula\n    ${order}`;
    const withBandage = prepared("exsanguinate by bandage\n    inflate proximal\n    confirm proximal");
    expect(shown("inject-with-bandage-on", steps(after, withBandage))).toEqual([["0:00 inject local"]]);
    const unconfirmed = prepared("exsanguinate by elevation 1 min\n    inflate proximal");
    expect(shown("inject-before-confirm", steps(after, unconfirmed))).toEqual([["1:00 inject local"]]);
    const open = prepared("exsanguinate by elevation 1 min");
    expect(shown("inject-before-occlusion", steps(after, open))).toEqual([["1:00 inject local"]]);
  });
});

describe("toxicity", () => {
  const withoutPlan = (handlers: string) => `throughout {
    when cuff-leak {
      inflate all
      confirm all
    }
  }
  ${steps(procedure(handlers))}`;

  test("during the injection nothing answers it where no plan is in force", () => {
    expect(shown("no-toxicity-plan", withoutPlan(AT_45))).toEqual([["1:00 inject local"]]);
  });

  test("a plan for the procedure alone leaves the injection without one", () => {
    const inStage = `when toxicity-signs {
        go to emergency toxicity
      }
      ${AT_45}`;
    expect(shown("no-toxicity-plan", withoutPlan(inStage))).toEqual([["1:00 inject local"]]);
  });

  test("a plan that is in force throughout answers it during the injection and the release", () => {
    const { verdicts } = judged(steps(procedure(AT_45)));
    expect(verdicts).toContainEqual({ rule: "no-toxicity-plan", kind: "holds" });
  });
});

describe("doses", () => {
  const topUp = (weight: string) => `patients {
    age      16 to 85 years
    weight   ${weight}
    systolic 90 to 180 mmHg
    circumference 25 to 40 cm
    contraindicated allergy          "Allergy to an amide local anaesthetic"
    contraindicated sickle-cell      "Sickle cell disease or trait"
    contraindicated vascular-disease "Severe peripheral vascular disease of the limb"
    contraindicated hypertension     "Systolic over 180 mmHg"
  }
  dose local of lidocaine {
    amount 100 mg
    over   90 s to 3 min
  }
  dose top-up of lidocaine {
    amount 50 mg
    over   90 s
  }
  ${steps(procedure(`when block-incomplete up to 2 times {\n        inject top-up\n      }\n      ${AT_45}`), PREPARED).replace(/remove cannula.*\n/, "")}`;

  /** US product label, lidocaine, intravenous regional anaesthesia: 4 mg/kg. 200 mg are 4.44 mg/kg at 45 kg, 2.5 at 80 kg. */
  test("an event allowed twice exceeds the maximum at 45 kg, and does not at 80 kg", () => {
    const rule = "cumulative-dose-over-maximum";
    const [lines] = shown(rule, topUp("45 to 80 kg"));
    expect(lines?.filter((line) => line.includes("block-incomplete"))).toHaveLength(2);
    expect(judged(topUp("80 to 130 kg")).verdicts).toContainEqual({ rule, kind: "holds" });
  });
});

describe("times", () => {
  test("a stage without an end can outlast the maximum", () => {
    const [lines] = shown("occlusion-too-long", steps(procedure("")));
    expect(lines?.at(-2)).toContain('task "Reduce and splint" ends');
    expect(lines?.at(-1)).toContain("deflate all");
  });

  test("a staged release whose deflation is too long", () => {
    const release =
      "wait for hold\n    deflate all for 40 s\n    watch 1 min\n    deflate all for 10 s\n    watch 1 min\n    deflate all\n    recovery 30 min";
    const [lines] = shown("deflation-too-long", steps(procedure(AT_45), PREPARED, release));
    expect(lines?.at(-1)).toContain("deflate all for 40 s ends");
  });

  test("a wait for a timer that never starts", () => {
    const sections = `timer hold from end of local {
    at least 30 min
    at most  50 min
  }
  timer other from end of closing {
    at least 5 min
  }
  ${steps(procedure(AT_45), PREPARED, 'wait for other\n    wait for hold\n    stage closing {\n      task "Dress" takes 1 min\n    }\n    do staged-release\n    recovery 30 min')}`;
    expect(shown("timer-never-starts", sections).map((lines) => lines.at(-1))).toEqual([
      expect.stringContaining("wait for other"),
    ]);
  });

  test("a handler that can never run is found", () => {
    const late = "when hold reaches 50 min {\n        end stage\n      }";
    const { findings } = judged(steps(procedure(`${AT_45}\n      ${late}`)));
    expect(findings.filter(({ rule }) => rule === "unreachable-step").map(({ what }) => what)).toEqual([
      expect.stringContaining("hold reaches 50 min"),
    ]);
  });

  test("a minimum above the maximum is found in the text", () => {
    const { check } = checkExample("timer hold from end of local {\n  at least 50 min\n  at most 30 min\n}");
    expect(check.findings.map(({ rule }) => rule)).toContain("bounds-contradict");
  });
});

/** Action times of the base's local rules: 75 s for an action; 15 s, the standard, for one of a cuff. */
test("the envelope of the whole example is what reckoning by hand gives", () => {
  const { check } = checkExample("status draft");
  const explored = check.protocols.find(({ protocol: { name } }) => name === "example")?.explored.runs;
  if (explored?.kind !== "explored") throw new Error("the runs of the example were not explored");
  const minutes = (whole: number, seconds = 0) => 60 * whole + seconds;
  const cuffAction = 15;
  const action = 75;
  // Earliest: the wait for hold ends at 30:00. Latest: systolic rises just before hold reaches 45 min, and what is
  // done then takes up to 1 min; only then the stage ends, and the release begins at once.
  const latestRelease = minutes(45) + minutes(1);
  expect(explored.envelope.release).toEqual({
    earliest: { seconds: minutes(30), attained: true },
    latest: { seconds: latestRelease, attained: false },
  });
  // From the end of the first inflation to the end of the injection: four actions of a cuff (confirm distal, inflate
  // and confirm proximal, deflate distal), three others (bandage off, no pulse, the line), and 90 s to 3 min of injection.
  const before = { shortest: 90, longest: 4 * cuffAction + 3 * action + minutes(3) };
  // Two rounds of 10 s without a cuff, its inflation, and 1 min of watching; then the last deflation.
  const rounds = { shortest: 2 * (10 + 60), longest: 2 * (10 + cuffAction + 60) };
  expect(explored.envelope.occlusion).toEqual({
    shortest: { seconds: before.shortest + minutes(30) + rounds.shortest, attained: true },
    longest: { seconds: before.longest + latestRelease + rounds.longest, attained: false },
  });
});

test("the whole example holds, with nothing found above advice", () => {
  const { check } = checkExample("status draft");
  const example = check.protocols.find(({ protocol: { name } }) => name === "example");
  expect(example?.findings.filter(({ severity }) => severity !== "advice")).toEqual([]);
  expect(example?.verdicts.filter(({ kind }) => kind !== "holds")).toEqual([]);
});
