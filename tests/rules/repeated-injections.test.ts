import { describe, expect, test } from "vitest";
import { checkExample } from "./page-examples.ts";

const BEFORE = `apply cuffs
    insert cannula
    exsanguinate by elevation 1 min
    inflate proximal
    confirm proximal`;

/** These speak of places in the text, and all repeats of an injection stand at one place. */
const OF_PLACES: ReadonlySet<string> = new Set(["unreachable-step", "block-not-injected"]);

/** What every rule says of steps around one injection, with a dose that may repeat; findings without their places. */
function said(steps: string, repeat = "") {
  const { check } = checkExample(`dose local of lidocaine {
  amount 1 mg/kg
  over   90 s to 3 min
  ${repeat}
}
steps {
  ${steps}
}`);
  const [protocol] = check.protocols;
  const judged = protocol?.verdicts.filter(({ rule }) => !OF_PLACES.has(rule)) ?? [];
  return {
    verdicts: judged.map(({ rule, kind }) => `${rule}: ${kind}`),
    findings: [
      ...new Set(check.findings.map(({ rule, label, what }) => `${rule}: ${label}: ${what}`)),
    ].sort(),
    broken: protocol?.verdicts.filter(({ kind }) => kind === "broken").map(({ rule }) => rule) ?? [],
  };
}

/** Where an injection may stand, with the bare injection or what it is written out as. */
const PLACES: readonly (readonly [string, (inject: string) => string])[] = [
  ["in the plan", (inject) => `${BEFORE}\n${inject}\nwait for hold\ndeflate all\nrecovery 30 min`],
  [
    "in one branch",
    (inject) =>
      `${BEFORE}\nask "Ready?" {\nyes {\n${inject}\n}\nno { }\n}\nwait for hold\ndeflate all\nrecovery 30 min`,
  ],
  [
    "in a handler, which may come after the release",
    (inject) =>
      `${BEFORE}\n${inject}\nwait for hold\nstage work {\ndeflate all\nwait 1 min\nwhen block-incomplete once {\n${inject}\n}\n}\nrecovery 30 min`,
  ],
  [
    "before the cuff is up",
    (inject) => `insert cannula\n${inject}\ninflate proximal\nwait for hold\ndeflate all`,
  ],
  [
    "with too short a wait after it",
    (inject) => `${BEFORE}\n${inject}\nwait 5 min\ndeflate all\nrecovery 30 min`,
  ],
];

describe.each(PLACES)("an injection that repeats, %s", (_, around) => {
  test("is judged as the injections written out", () => {
    const repeat = said(around("inject local"), "repeat 2 times every 5 min");
    const written = said(around("inject local\nrepeat 2 times {\nwait 5 min\ninject local\n}"));
    expect(repeat).toEqual(written);
  });

  test("where it hangs on a condition, as behind a question, and ends where that is denied", () => {
    const repeat = said(around("inject local"), 'repeat 2 times every 5 min if "Patchy?"');
    const once = (then: string) => `wait 5 min\nask "Patchy?" {\nyes {\ninject local\n${then}\n}\nno { }\n}`;
    expect(repeat).toEqual(said(around(`inject local\n${once(once(""))}`)));
  });
});

const around = (after: string) => `${BEFORE}\ninject local\n${after}\nrecovery 30 min`;

test("holding is counted from the last of them", () => {
  const after = around("wait 20 min\ndeflate all");
  expect(said(around("wait 30 min\ndeflate all"), "repeat 1 times every 10 min").broken).not.toContain(
    "early-release",
  );
  // 20 min after the last, however long after the first.
  expect(said(after, "repeat 1 times every 15 min").broken).toContain("early-release");
});

test("their sum is held against the maximum", () => {
  const after = around("wait 30 min\ndeflate all");
  // 1 mg/kg each, 4 mg/kg in all, and 300 mg are reached over 75 kg.
  expect(said(after, "repeat 1 times every 1 min").broken).not.toContain("cumulative-dose-over-maximum");
  expect(said(after, 'repeat 4 times every 1 min if "Patchy?"').broken).toContain(
    "cumulative-dose-over-maximum",
  );
});

test("what stands against an injection stands against the next one, too", () => {
  const stage = (what: string) =>
    `${BEFORE}\nstage block {\ninject local\nwhen patient-distress once {\n${what}\n}\n}\nwait for hold\ndeflate all\nrecovery 30 min`;
  const repeat = "repeat 1 times every 10 min";
  expect(said(stage("wait 1 min"), repeat).broken).not.toContain("step-out-of-place");
  expect(said(stage("remove cannula"), repeat).broken).toContain("step-out-of-place");
  expect(said(stage("remove cannula")).broken).not.toContain("step-out-of-place");
});

test("more than ten are refused, and a rate is", () => {
  const { findings } = said(around("wait 30 min\ndeflate all"), "repeat 11 times every 1 min");
  expect(findings.filter((one) => one.startsWith("value-out-of-range"))).toEqual([
    "value-out-of-range: more than 10 times: `inject local` is an injection; 11 more of it are more than any block has.",
  ]);
});
