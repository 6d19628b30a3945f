import { checkFiles, Site } from "@limbwright/language";
import { expect, test } from "vitest";

const AGENT =
  'agent lidocaine {\n  kind local-anaesthetic\n  concentration 0.5 %\n  maximum 4 mg/kg\n  maximum 300 mg\n  source "Formulary"\n}\n';

/** A protocol built to explode: nested stages, each with handlers that may run many times, and a timer each. */
function exploding(depth: number): string {
  const timers = Array.from(
    { length: depth },
    (_, at) => `timer clock-${at} from start of stage-${at} {\n    at least 1 min\n  }`,
  );
  const events = [
    "tourniquet-pain",
    "block-incomplete",
    "patient-distress",
    "systolic-rises",
    "surgery-done",
  ];
  const stage = (at: number): string =>
    at === depth
      ? 'task "Operate" takes 5 min or more'
      : `stage stage-${at} {
        ${stage(at + 1)}
        when ${events[at % events.length]} up to 40 times {
          task "See to it" takes ${at + 1} s to ${7 * at + 11} min
        }
        when clock-${at} reaches ${20 + at} min {
          watch 1 min
        }
      }`;
  return `${AGENT}protocol exploding "Exploding" {
  version 1.0.0
  status draft
  patients {
    age 16 to 85 years
    weight 45 to 130 kg
    systolic 90 to 180 mmHg
  }
  cuffs proximal, distal on upper-arm {
    pressure systolic + 100 mmHg
    ceiling 300 mmHg
  }
  dose local of lidocaine {
    amount 2 mg/kg up to 150 mg
    over 90 s to 3 min
  }
  ${timers.join("\n  ")}
  steps {
    insert cannula
    exsanguinate by elevation 1 min
    inflate proximal
    confirm proximal
    inject local
    ${stage(0)}
    deflate all
    recovery 30 min
  }
}
`;
}

const TIMED = ["early-release", "no-cuff-up", "occlusion-too-long", "no-way-forward", "unreachable-step"];

function verdictsOf(text: string, isCancelled?: () => boolean) {
  const site = new Site(() => text);
  const [check] = [
    ...checkFiles(site, ["exploding.limb"], { on: "2026-11-25", ...(isCancelled && { isCancelled }) }),
  ];
  expect(check?.findings.filter(({ severity }) => severity === "error")).toEqual([]);
  return check?.protocols[0]?.verdicts.filter(({ rule }) => TIMED.includes(rule)) ?? [];
}

test("a protocol with too many runs ends as not decided inside its budget, with the limit reached", () => {
  const verdicts = verdictsOf(exploding(6));
  expect(verdicts.map(({ kind }) => kind)).toEqual(TIMED.map(() => "not-decided"));
  for (const verdict of verdicts) {
    expect(verdict.kind === "not-decided" && verdict.limit).toMatch(/more than [\d\u202f]+ states|too many/);
  }
});

test("a check that is cancelled says nothing of runs, and asks soon whether it is", () => {
  let asked = 0;
  const verdicts = verdictsOf(exploding(6), () => {
    asked += 1;
    return asked > 3;
  });
  expect(asked).toBeLessThan(200);
  expect(new Set(verdicts.map(({ kind }) => kind))).toEqual(new Set(["not-decided"]));
});
