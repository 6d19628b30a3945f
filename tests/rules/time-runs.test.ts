import { describe, expect, test } from "vitest";
import { judged } from "./judged-sections.ts";
import { checkExample } from "./page-examples.ts";

const PREPARED = `apply cuffs
    insert cannula
    exsanguinate by elevation 1 min
    inflate proximal
    confirm proximal`;

/** Steps that inject, with what comes after the injection. */
const steps = (after: string, before = PREPARED) => `steps {
    ${before}
    inject local
    ${after}
  }`;

const hold = (bounds: string, from = "end of local") => `timer hold from ${from} {\n    ${bounds}\n  }\n`;

const saysOf = (rule: string, sections: string) => judged(rule, sections).findings.map(({ what }) => what);

const severitiesOf = (rule: string, sections: string) =>
  judged(rule, sections).findings.map(({ severity }) => severity);

/** Why a rule is not decided. */
function limitOf(rule: string, sections: string): string {
  const verdict = checkExample(sections).check.protocols[0]?.verdicts.find((one) => one.rule === rule);
  return verdict?.kind === "not-decided" ? verdict.limit : `${verdict?.kind}`;
}

describe("the release", () => {
  test("at the minimum to the second is not early, a second before it is", () => {
    const waiting = (time: string) => steps(`wait ${time}\n    deflate all\n    recovery 30 min`);
    expect(judged("early-release", waiting("30 min")).verdict).toBe("holds");
    expect(saysOf("early-release", waiting("1799 s"))).toEqual([
      "`deflate all` can let the last cuff down 29:59 after `local`, 0:01 too early; 30 min is the least.",
    ]);
  });

  test("counts from the last injection when there are two", () => {
    const topUp = `dose top-up of lidocaine {
    amount 20 mg
    over 90 s
  }
  `;
    const after = "wait for hold\n    inject top-up\n    deflate all\n    recovery 30 min";
    const [finding] = judged("early-release", `${topUp}${steps(after)}`).findings;
    expect(finding?.what).toContain("0:00 after `top-up`, 30:00 too early");
    expect(finding?.next).toContain("Write a timer `from end of top-up`");
  });

  test("of each way to answer is a finding of its own", () => {
    const after = `ask "Done already?" {
      yes {
        deflate all
      }
      no {
        wait 10 min
        deflate proximal
      }
    }
    recovery 30 min`;
    expect(saysOf("early-release", steps(after)).map((what) => what.replace(/;.*/, ""))).toEqual([
      "`deflate all` can let the last cuff down 0:00 after `local`, 30:00 too early",
      "`deflate proximal` can let the last cuff down 10:00 after `local`, 20:00 too early",
    ]);
  });

  test("in one go is doubtful under 40 min on hold, and advice from then on", () => {
    const waiting = (time: string) => steps(`wait ${time}\n    deflate all\n    recovery 30 min`);
    expect(severitiesOf("unstaged-release", waiting("39 min"))).toEqual(["doubtful"]);
    expect(severitiesOf("unstaged-release", waiting("40 min"))).toEqual(["advice"]);
    expect(severitiesOf("unstaged-release", waiting("41 min"))).toEqual(["advice"]);
  });

  test("in two stages is not the three that were tried", () => {
    const after =
      "wait for hold\n    deflate all for 10 s\n    watch 1 min\n    deflate all\n    recovery 30 min";
    expect(saysOf("unstaged-release", steps(after))).toEqual([
      "The cuff can be let down 2 times before recovery; a staged release lets it down 3 times.",
    ]);
  });

  test("of prilocaine asks for advice at discharge when recovery is short", () => {
    const prilocaine = `use "formulary.limb"
agent prilocaine {
  kind          local-anaesthetic
  atc           "N01BB04"
  concentration 0.5 %
  plain
  maximum       3 mg/kg
}
protocol prilocaine "Prilocaine" {
  cuffs proximal on upper-arm {
    pressure systolic + 100 mmHg
  }
  dose local of prilocaine {
    amount 2 mg/kg
    over 90 s
  }
  ${steps("wait 30 min\n    deflate all\n    recovery 10 min")}
}`;
    const nexts = (text: string) => judged("recovery-too-short", text).findings.map(({ next }) => next);
    expect(nexts(prilocaine)[0]).toContain("methaemoglobin");
    expect(nexts(steps("wait 30 min\n    deflate all\n    recovery 10 min"))[0]).not.toContain(
      "methaemoglobin",
    );
  });
});

describe("occlusion", () => {
  const onPlace = (place: string) => `cuffs proximal "grey", distal "white" on ${place} {
    pressure greater of systolic + 100 mmHg and 250 mmHg
    ceiling  300 mmHg
    fits     25 to 40 cm
  }
  `;
  const after = "wait 58 min\n    deflate all\n    recovery 30 min";

  // The injection takes 90 s to 3 min, confirming up to 15 s: 58 min on hold are over 60 min of occlusion for the slowest.
  test("is judged for the slowest team, and told as long as it can be", () => {
    expect(saysOf("occlusion-too-long", steps(after))).toEqual([
      "The cuffs can stay up for 1:01:15; 1 h is the most for an arm.",
    ]);
  });

  test("of a leg has a maximum of its own", () => {
    expect(saysOf("occlusion-too-long", `${onPlace("calf")}${steps(after)}`)).toEqual([
      "The cuffs can stay up for 1:01:15; 1 h is the most for a leg.",
    ]);
    const longer = `use "formulary.limb"
local-rules tarn-hollow {
  set occlusion-too-long.maximum-leg 75 min because "Foot surgery, own audit" by "Clinical governance"
}
protocol leg "Leg" {
  local-rules tarn-hollow
  ${onPlace("calf")}
  dose local of lidocaine {
    amount 2 mg/kg
    over 90 s to 3 min
  }
  ${steps(after)}
}`;
    expect(judged("occlusion-too-long", longer).findings).toEqual([]);
    expect(judged("occlusion-too-long", longer.replace("on calf", "on forearm")).findings).toHaveLength(1);
  });

  test("that lasts 60 min to the second is not too long", () => {
    const exactly = "wait 57 min\n    deflate all\n    recovery 30 min";
    const fixed = PREPARED.replace("confirm proximal", "confirm proximal takes 0 s");
    expect(judged("occlusion-too-long", steps(exactly, fixed)).verdict).toBe("holds");
  });
});

describe("a timer's claim", () => {
  const after = "wait for hold\n    deflate all\n    recovery 30 min";

  test("of at most a time is broken where a run can end with a cuff up", () => {
    const leaving = steps(`ask "Stop?" {
      yes {
        finish
      }
      no {
        ${after}
      }
    }`);
    expect(saysOf("timer-claim-broken", leaving)).toEqual([
      "`hold` is to be at most 50 min, and the protocol can end with a cuff still up.",
    ]);
  });

  test("is one finding for each bound, however many ways break it", () => {
    const twice = steps(`ask "Quick?" {
      yes {
        wait 31 min
        deflate all
      }
      no {
        wait 35 min
        deflate all
      }
    }
    recovery 30 min`);
    expect(saysOf("timer-claim-broken", `${hold("at least 40 min", "end of local")}${twice}`)).toEqual([
      "`hold` is to be at least 40 min at the release, and the release can come when it is at 31:00.",
    ]);
  });

  test("is not told a second time where the release comes before the minimum", () => {
    const early = steps("deflate all\n    recovery 30 min");
    expect(saysOf("early-release", early)).toHaveLength(1);
    const claim = judged("timer-claim-broken", early);
    expect({ verdict: claim.verdict, findings: claim.findings }).toEqual({
      verdict: "not-decided",
      findings: [],
    });
  });

  test("of at least a time is none when it counts from the release", () => {
    expect(
      judged(
        "timer-claim-broken",
        `${hold("at least 5 min", "release")}${steps("wait 30 min\n    deflate all\n    recovery 30 min")}`,
      ).verdict,
    ).toBe("holds");
  });
});

test("the longest occlusion is not decided where a run can be stuck with a cuff up", () => {
  const stuck = steps(`stage procedure takes 5 min to 20 min {
      wait 25 min
    }
    wait for hold
    deflate all
    recovery 30 min`);
  expect(judged("no-way-forward", stuck).verdict).toBe("broken");
  expect(limitOf("occlusion-too-long", stuck)).toContain("stuck for ever with a cuff up");
});

describe("what no run reaches", () => {
  test("is told once for all that follows it", () => {
    const after =
      "wait for hold\n    deflate all\n    recovery 30 min\n    finish\n    watch 5 min\n    remove cannula";
    expect(saysOf("unreachable-step", steps(after))).toEqual([
      "No run comes to `watch 5 min`, nor to the step after it.",
    ]);
  });

  test("is not decided after what ended the following of runs", () => {
    const waiting = "wait for hold\n    inject local\n    finish\n    remove cannula";
    const early = `steps {\n    ${PREPARED}\n    ${waiting}\n  }`;
    expect(limitOf("unreachable-step", early)).toBe(
      "nobody knows what comes after what `timer-never-starts` found; mend that first",
    );
  });

  test("does not count the answer to a leak among what never happens", () => {
    expect(judged("unreachable-step", "").verdict).toBe("holds");
  });

  test("is an event in a stage that is over before the event may come", () => {
    const after = `stage procedure takes 5 min to 10 min {
      task "Reduce and splint" takes 5 min or more
      when patient-distress not before 15 min {
        watch 1 min
      }
    }
    wait for hold
    deflate all
    recovery 30 min`;
    expect(saysOf("unreachable-step", steps(after))).toEqual([
      "`when patient-distress` can never happen here.",
    ]);
  });
});

test("an event that may happen is no way forward, one that is due is", () => {
  const stage = (handler: string) =>
    steps(`stage procedure takes 5 min to 20 min {
      wait 25 min
      ${handler} {
        end stage
      }
    }
    wait for hold
    deflate all
    recovery 30 min`);
  expect(judged("no-way-forward", stage("when surgery-done")).verdict).toBe("broken");
  expect(judged("no-way-forward", stage("when hold reaches 15 min")).verdict).toBe("holds");
});

test("where a time was not understood, no rule over runs finds anything, and none is said to hold", () => {
  const unread = hold("at least 30\n    at most 50 min");
  for (const rule of ["no-way-forward", "unreachable-step", "early-release", "occlusion-too-long"]) {
    expect(judged(rule, unread)).toEqual({ findings: [], verdict: "not-decided" });
  }
});
