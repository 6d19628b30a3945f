import { describe, expect, test } from "vitest";
import { checkExample } from "./page-examples.ts";

const checks = new Map<string, ReturnType<typeof checkExample>>();

/** Several rules are asked about one text, which is checked once. */
function checked(text: string) {
  const known = checks.get(text) ?? checkExample(text);
  checks.set(text, known);
  return known;
}

/** What one rule says of the base protocol with other steps, and the run that it shows. */
function found(rule: string, steps: string, more = "") {
  const { check } = checked(`steps {\n${steps}\n}\n${more}`);
  expect(check.findings.filter(({ severity }) => severity === "error")).toEqual([]);
  const [protocol] = check.protocols;
  return {
    verdict: protocol?.verdicts.find((one) => one.rule === rule)?.kind,
    runs: (protocol?.findings ?? [])
      .filter((finding) => finding.rule === rule)
      .map(({ run }) => run?.lines.map(({ time, what, after }) => `${time} ${what}${after && `: ${after}`}`)),
  };
}

const EMPTIED = `  insert cannula
  exsanguinate by elevation 3 min`;

const UP = `${EMPTIED}
  inflate proximal
  confirm proximal`;

const RELEASE = `  wait for hold
  deflate all
  recovery 30 min`;

const swap = (steps: string) => `${UP}
  inject local
  wait 5 min
  stage procedure {
    task "Reduce and splint" takes 5 min or more
    when tourniquet-pain once {
      ${steps}
    }
    when hold reaches 45 min {
      end stage
    }
  }
${RELEASE}`;

const TO_UP = [
  "0:00 insert cannula",
  "0:00 insert cannula ends: cannula in",
  "0:00 exsanguinate by elevation",
  "3:00 exsanguinate by elevation ends",
  "3:00 inflate proximal",
  "3:00 inflate proximal ends: proximal up",
];

const CONFIRMED = ["3:00 confirm proximal", "3:00 confirm proximal ends: proximal confirmed"];

const TO_PAIN = [
  ...TO_UP,
  ...CONFIRMED,
  "3:00 inject local: drug in the limb",
  "4:30 inject local ends",
  "4:30 wait 5 min",
  "9:30 wait 5 min ends",
  "9:30 stage procedure",
  '9:30 task "Reduce and splint"',
  "9:30 tourniquet-pain",
];

describe("the shown run has one decision, and is the earliest", () => {
  test("where a swap deflates before it inflates", () => {
    expect(found("no-cuff-up", swap("deflate proximal\ninflate distal\nconfirm distal"))).toEqual({
      verdict: "broken",
      runs: [[...TO_PAIN, "9:30 deflate proximal: proximal flat, drug released, no cuff up"]],
    });
  });

  test("where the wrong cuff is inflated and let down at the swap", () => {
    expect(found("no-cuff-up", swap("inflate proximal\nconfirm proximal\ndeflate proximal"))).toEqual({
      verdict: "broken",
      runs: [
        [
          ...TO_PAIN,
          "9:30 inflate proximal",
          "9:30 inflate proximal ends",
          "9:30 confirm proximal",
          "9:30 confirm proximal ends",
          "9:30 deflate proximal: proximal flat, drug released, no cuff up",
        ],
      ],
    });
  });

  test("where the wrong cuff is let down, and the other was never up", () => {
    expect(found("step-out-of-place", swap("deflate distal"))).toEqual({
      verdict: "broken",
      runs: [[...TO_PAIN, "9:30 deflate distal"]],
    });
  });
});

test("a swap that inflates, confirms and then deflates leaves nothing to find", () => {
  const steps = swap("inflate distal\nconfirm distal\ndeflate proximal");
  for (const rule of ["no-cuff-up", "step-out-of-place", "swap-before-onset", "wrong-inflation-order"]) {
    expect(found(rule, steps)).toEqual({ verdict: "holds", runs: [] });
  }
});

describe("an injection", () => {
  test("with the bandage on", () => {
    const steps = UP.replace("elevation 3 min", "bandage");
    expect(found("inject-with-bandage-on", `${steps}\ninject local\n${RELEASE}`).runs).toEqual([
      [
        "0:00 insert cannula",
        "0:00 insert cannula ends: cannula in",
        "0:00 exsanguinate by bandage: bandage on",
        "0:00 exsanguinate by bandage ends",
        "0:00 inflate proximal",
        "0:00 inflate proximal ends: proximal up",
        "0:00 confirm proximal",
        "0:00 confirm proximal ends: proximal confirmed",
        "0:00 inject local: drug in the limb",
      ],
    ]);
  });

  test("before the cuff is confirmed", () => {
    const steps = `${EMPTIED}\ninflate proximal\ninject local\nconfirm proximal\n${RELEASE}`;
    expect(found("inject-before-confirm", steps).runs).toEqual([
      [...TO_UP, "3:00 inject local: drug in the limb"],
    ]);
  });

  test("into a limb that is not occluded, which is no unconfirmed cuff", () => {
    const steps = `${EMPTIED}\ninject local\ninflate proximal\nconfirm proximal\n${RELEASE}`;
    expect(found("inject-before-occlusion", steps).runs).toEqual([
      [...TO_UP.slice(0, 4), "3:00 inject local: drug in the limb"],
    ]);
    expect(found("inject-before-confirm", steps)).toEqual({ verdict: "not-decided", runs: [] });
  });

  test("that lacks several things is found once by each rule", () => {
    const steps = `exsanguinate by bandage\ninflate proximal\ninject local\n${RELEASE}`;
    for (const rule of ["inject-before-confirm", "inject-with-bandage-on", "step-out-of-place"]) {
      expect(found(rule, steps).runs).toHaveLength(1);
    }
  });
});

describe("a release before the minimum is reported once:", () => {
  const early = `${UP}\ninject local\nwait 10 min\n`;

  test.each(["deflate all", "deflate proximal"])("by early-release where the plan ends with `%s`", (step) => {
    const steps = `${early}${step}\nrecovery 30 min`;
    expect(found("early-release", steps).verdict).toBe("broken");
    expect(found("no-cuff-up", steps)).toEqual({ verdict: "holds", runs: [] });
  });

  test("by no-cuff-up where the plan inflates another cuff afterwards", () => {
    const steps = `${early}deflate proximal\ninflate distal\nconfirm distal\n${RELEASE}`;
    expect(found("no-cuff-up", steps).verdict).toBe("broken");
    expect(found("early-release", steps)).toEqual({ verdict: "not-decided", runs: [] });
  });

  test("by no-cuff-up in an emergency too, where other rules of cuffs are silent", () => {
    const emergency = `emergency toxicity "Toxicity" {
  recovery 1 min
  deflate all
}`;
    expect(found("no-cuff-up", `${UP}\ninject local\n${RELEASE}`, emergency).runs).toHaveLength(1);
    expect(found("step-out-of-place", `${UP}\ninject local\n${RELEASE}`, emergency).runs).toEqual([]);
  });

  test("by neither once the minimum has passed, to the second", () => {
    const waiting = (minutes: string) =>
      `${UP}\ninject local\nwait ${minutes}\nask "Pain?" { yes { deflate proximal\ninflate distal } no { } }\ndeflate all\nrecovery 30 min`;
    expect(found("no-cuff-up", waiting("1800 s")).verdict).toBe("holds");
    expect(found("no-cuff-up", waiting("1799 s")).verdict).toBe("broken");
  });
});
