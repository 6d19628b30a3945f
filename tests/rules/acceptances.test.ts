import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { ruleList } from "@limbwright/language";
import { describe, expect, test } from "vitest";
import { checked, errorsOf, findingsOf, type Hospital, verdictOf } from "./hospital.ts";

const CAP = "dose-without-cap";
const accepts = (what: string, until = "2027-01-31") =>
  `  accept ${what} because "Box ends at 66 kg" by "Pharmacy" until ${until}`;

describe("an accepted finding", () => {
  const hospital = { rules: accepts(CAP), amount: "2 mg/kg" };

  test("is still found, with its acceptance", () => {
    const [finding] = findingsOf(hospital, CAP);
    expect(finding?.accepted).toMatchObject({
      because: "Box ends at 66 kg",
      by: "Pharmacy",
      until: "2027-01-31",
      origin: { file: "local-rules.limb" },
    });
    expect(verdictOf(hospital, CAP)).toBe("broken");
  });

  test("counts again the day after its acceptance ended, and the end is told", () => {
    const lastDay = { ...hospital, on: "2027-01-31" };
    expect(findingsOf(lastDay, CAP)[0]?.accepted).toBeDefined();
    expect(findingsOf(lastDay, "acceptance-expired")).toEqual([]);
    const dayAfter = { ...hospital, on: "2027-02-01" };
    expect(findingsOf(dayAfter, CAP)[0]?.accepted).toBeUndefined();
    expect(findingsOf(dayAfter, "acceptance-expired")[0]?.what).toContain("ended on 2027-01-31");
  });

  test("of one protocol is not accepted in another", () => {
    const others = { ankle: "2 mg/kg" };
    const files = ["ankle.limb", "protocol.limb"];
    const found = findingsOf({ ...hospital, rules: accepts(`${CAP} in ankle`), others, files }, CAP);
    expect(found.map(({ protocol, accepted }) => [protocol, accepted !== undefined])).toEqual([
      ["ankle", true],
      ["wrist-reduction", false],
    ]);
  });

  test("no longer stands in the way of an approval", () => {
    const approved = { over: "30 s", status: 'approved by "Anaesthesia lead" on 2026-10-01' };
    const [finding] = findingsOf({ ...approved, rules: "" }, "approved-with-findings");
    expect(finding?.what).toContain("injection-too-fast");
    const rules = accepts("injection-too-fast");
    expect(verdictOf({ ...approved, rules }, "approved-with-findings")).toBe("holds");
  });

  test.each(["no-cuff-up", "early-release", "bands-leave-gap", "acceptance-unused", "trailing-zero-not"])(
    "cannot be of a rule that nobody may accept, or that does not exist: %s",
    (rule) => {
      expect(errorsOf({ rules: accepts(rule) })).toHaveLength(1);
    },
  );
});

describe("an acceptance goes too far", () => {
  const FAR = "acceptance-goes-too-far";
  const REQUIRED = "requirement-broken";
  const named = (until: string, what = `${REQUIRED} of "Never"`) =>
    accepts(what, until).replace('by "Pharmacy"', 'by "Pharmacy" by "Anaesthesia lead"');
  /** A requirement of the hospital's own that nothing keeps. */
  const broken: Pick<Hospital, "changes"> = {
    changes: [
      ["review by 2027-06-30", "review by 2029-12-31"],
      ["  emergency toxicity", '  require "Never" {\n    never drug in limb\n  }\n\n  emergency toxicity'],
    ],
  };
  const judged = (hospital: Hospital, rule: string) =>
    findingsOf(hospital, rule).map(({ accepted, severity }) => [severity, accepted !== undefined]);

  test("of what is unsafe after a year, and then it covers nothing", () => {
    const within = { ...broken, rules: named("2027-11-25") };
    expect(judged(within, REQUIRED)).toEqual([["unsafe", true]]);
    expect(judged(within, FAR)).toEqual([]);
    const beyond = { ...broken, rules: named("2027-11-26") };
    expect(judged(beyond, REQUIRED)).toEqual([["unsafe", false]]);
    expect(findingsOf(beyond, FAR).map(({ what }) => what)).toEqual([
      "`requirement-broken` is accepted until 2027-11-26. What is unsafe can be accepted for a year at most, so this covers nothing.",
    ]);
    expect(judged({ ...beyond, on: "2026-11-26" }, REQUIRED)).toEqual([["unsafe", true]]);
  });

  test("also where nothing is found that it would cover", () => {
    const { changes } = broken;
    const review = changes?.slice(0, 1) ?? [];
    expect(judged({ changes: review, rules: named("2029-01-01") }, FAR)).toEqual([["unsafe", false]]);
  });

  test("of what is unsafe without its name, by one role, or past the review, and then it covers nothing unsafe", () => {
    const tellings = (rules: string, more: Partial<Hospital> = {}) => {
      const hospital = { ...broken, ...more, rules };
      expect(judged(hospital, REQUIRED)).toEqual([["unsafe", false]]);
      return findingsOf(hospital, FAR).map(({ label }) => label);
    };
    expect(tellings(named("2027-01-31", REQUIRED))).toEqual(["does not say of what"]);
    expect(tellings(accepts(`${REQUIRED} of "Never"`))).toEqual(["one role alone"]);
    expect(tellings(named("2027-01-31").replace("Anaesthesia lead", "Pharmacy"))).toEqual(["one role alone"]);
    const { changes } = broken;
    const soonReviewed = { changes: changes?.slice(1) ?? [] };
    expect(tellings(named("2027-07-01"), soonReviewed)).toEqual(["after the review"]);
    expect(judged({ ...broken, ...soonReviewed, rules: named("2027-06-30") }, REQUIRED)).toEqual([
      ["unsafe", true],
    ]);
  });

  test("and what is named covers nothing else that the same rule finds", () => {
    const second = [
      ...(broken.changes ?? []),
      ["  emergency toxicity", '  require "Nor" {\n    never cannula in\n  }\n\n  emergency toxicity'],
    ] as const;
    const found = findingsOf({ changes: second, rules: named("2027-01-31") }, REQUIRED);
    expect(found.map(({ subject, accepted }) => [subject, accepted !== undefined])).toEqual([
      ["Never", true],
      ["Nor", false],
    ]);
  });

  test("but not where it names the drug of which there is no plan", () => {
    const plan = "no-methaemoglobinaemia-plan";
    const prilocaine =
      "agent prilocaine {\n  kind local-anaesthetic\n  concentration 0.5 %\n  plain\n  preservative-free\n  maximum 3 mg/kg\n  maximum 400 mg\n}\n";
    const hospital = {
      amount: "700 mg",
      changes: [
        ["protocol wrist-reduction", `${prilocaine}\nprotocol wrist-reduction`],
        ["of lidocaine", "of prilocaine"],
      ] as const,
    };
    const of = (rules: string) =>
      findingsOf({ ...hospital, rules }, plan).map(({ severity, accepted }) => [severity, accepted?.by]);
    expect(of(named("2027-01-31", `${plan} of prilocaine`))).toEqual([
      ["unsafe", "Pharmacy and Anaesthesia lead"],
    ]);
    expect(of(named("2027-01-31", `${plan} of lidocaine`))).toEqual([["unsafe", undefined]]);
    expect(of(accepts(plan))).toEqual([["unsafe", undefined]]);
  });

  test("of what is milder after three years", () => {
    const hospital = { rules: accepts(CAP, "2029-11-25"), amount: "2 mg/kg" };
    expect(judged(hospital, CAP)).toEqual([["advice", true]]);
    expect(judged(hospital, FAR)).toEqual([]);
    const beyond = { ...hospital, rules: accepts(CAP, "2029-11-26") };
    expect(judged(beyond, CAP)).toEqual([["advice", false]]);
    expect(findingsOf(beyond, FAR)[0]?.next).toContain("Write a day up to 2029-11-25");
  });

  test("on the day after February of a leap year not a day later than in others", () => {
    const leap = { ...broken, on: "2028-02-29" };
    expect(judged({ ...leap, rules: named("2029-02-28") }, FAR)).toEqual([]);
    expect(judged({ ...leap, rules: named("2029-03-01") }, FAR)).toHaveLength(1);
  });

  test("where a rule finds what is unsafe and only what is doubtful can be accepted", () => {
    const PREPARED = "nothing-prepared";
    const rules = accepts(PREPARED);
    const doubtful = { rules, changes: [["    site-marked\n", ""]] as const };
    expect(judged(doubtful, PREPARED)).toEqual([["doubtful", true]]);
    expect(judged(doubtful, FAR)).toEqual([]);
    const unsafe = { rules, changes: [["    iv-access   other-limb\n", ""]] as const };
    expect(judged(unsafe, PREPARED)).toEqual([["unsafe", false]]);
    expect(findingsOf(unsafe, FAR)[0]?.label).toBe("does not cover what is unsafe");
  });

  test("of another protocol is not told here", () => {
    expect(judged({ rules: accepts(`${REQUIRED} in ankle`, "2036-01-01") }, FAR)).toEqual([]);
  });

  test("and of what nobody may accept is an error, whoever accepts it and until when", () => {
    const rules = accepts("dose-over-maximum", "2027-01-31").replace("Pharmacy", "anyone");
    expect(errorsOf({ rules })).toEqual([
      "parameter-not-allowed: A finding of `dose-over-maximum` cannot be accepted without a value: it is accepted up to one only.",
    ]);
    expect(judged({ rules, amount: "40 mL" }, "dose-over-maximum")).toEqual([["unsafe", false]]);
  });

  test("for few rules only is anything unsafe accepted at all", () => {
    const unsafe = ruleList.filter(
      ({ severity, isUnsafeAcceptable }) => severity === "unsafe" && isUnsafeAcceptable,
    );
    expect(unsafe.map(({ id }) => id)).toEqual(["requirement-broken"]);
    const bounded = ruleList.filter(
      ({ severity, parameters }) =>
        severity === "unsafe" && parameters.some(({ bound }) => bound !== undefined),
    );
    expect(bounded.filter(({ isUnsafeAcceptable }) => isUnsafeAcceptable)).toEqual([]);
  });
});

describe("an acceptance that is not needed", () => {
  const UNUSED = "acceptance-unused";
  const BOTH = ["local-rules.limb", "protocol.limb"];

  test("by the one protocol that it is for is told", () => {
    const rules = accepts(`${CAP} in wrist-reduction`);
    expect(findingsOf({ rules }, UNUSED)[0]?.what).toContain("finds nothing in `wrist-reduction`");
    expect(findingsOf({ rules, amount: "2 mg/kg" }, UNUSED)).toEqual([]);
  });

  test("by any protocol is told when the local rules are checked with them", () => {
    const [finding] = findingsOf({ rules: accepts(CAP), files: BOTH }, UNUSED);
    expect(finding?.origin.file).toBe("local-rules.limb");
    expect(finding?.what).toContain("the one checked protocol with these local rules");
    expect(findingsOf({ rules: accepts(CAP) }, UNUSED)).toEqual([]);
    expect(findingsOf({ rules: accepts(CAP), files: ["local-rules.limb"] }, UNUSED)).toEqual([]);
  });

  test("by one protocol but by another is kept", () => {
    const files = ["local-rules.limb", "protocol.limb", "ankle.limb"];
    expect(findingsOf({ rules: accepts(CAP), files, others: { ankle: "2 mg/kg" } }, UNUSED)).toEqual([]);
    const neither = { rules: accepts(CAP), files, others: { ankle: "2 mg/kg up to 100 mg" } };
    expect(findingsOf(neither, UNUSED)[0]?.what).toContain("any of the 2 checked protocols");
  });

  test("is never one of a rule that is not decided", () => {
    const decided = { rules: accepts("unstaged-release"), files: BOTH };
    const unread = { ...decided, status: "tentative" };
    expect(verdictOf(decided, "unstaged-release")).toBe("holds");
    expect(findingsOf(decided, UNUSED)).toHaveLength(1);
    expect(verdictOf(unread, "unstaged-release")).toBe("not-decided");
    expect(findingsOf(unread, UNUSED)).toEqual([]);
    const here = { rules: accepts("unstaged-release in wrist-reduction"), status: "tentative" };
    expect(findingsOf(here, UNUSED)).toEqual([]);
  });

  test("is told as ended, not as unused, once it has ended", () => {
    const hospital = { rules: accepts(CAP, "2026-11-24"), files: BOTH };
    expect(findingsOf(hospital, UNUSED)).toEqual([]);
    expect(findingsOf(hospital, "acceptance-expired")).toHaveLength(1);
  });
});

describe("an acceptance that ends soon", () => {
  const SOON = "acceptance-ends-soon";
  const on = (day: string, rules = accepts(CAP)) => findingsOf({ rules, amount: "2 mg/kg", on: day }, SOON);

  test("is told 60 days before, as advice, and no more once it has ended", () => {
    expect(on("2026-12-01")).toEqual([]);
    expect(on("2026-12-02")).toMatchObject([
      { severity: "advice", what: "The acceptance of `dose-without-cap` ends on 2027-01-31." },
    ]);
    expect(on("2027-01-31")).toHaveLength(1);
    expect(on("2027-02-01")).toEqual([]);
  });

  test("is told as early as the hospital sets it, and not of another protocol", () => {
    const set = `  set ${SOON}.days 90\n${accepts(CAP)}`;
    expect(on("2026-11-02", set)).toHaveLength(1);
    expect(on("2026-11-01", set)).toEqual([]);
    expect(on("2027-01-01", accepts(`${CAP} in ankle`))).toEqual([]);
  });
});

describe("an accepted finding takes nothing from what is proven", () => {
  const RULES = join(import.meta.dirname, "../../language/rules");
  const ending = readdirSync(RULES).filter((rule) => {
    const logic = join(RULES, rule, "rule.ts");
    return existsSync(logic) && /endingUnlessLeaked|endsRun|emptiesRuns/.test(readFileSync(logic, "utf8"));
  });

  test("nobody accepts a finding behind which runs are not followed", () => {
    expect(ending).toContain("no-cuff-up");
    expect(ending).toContain("block-not-injected");
    const acceptable = ruleList.filter(({ isAcceptable }) => isAcceptable).map(({ id }) => id);
    expect(ending.filter((rule) => acceptable.includes(rule))).toEqual([]);
  });

  test("nor one of a severity beside which nothing is said of other rules", () => {
    expect(ruleList.filter(({ severity, isAcceptable }) => severity === "error" && isAcceptable)).toEqual([]);
  });

  test.each([
    ["a swap that comes early", "swap-before-onset", [["    wait 5 min\n", ""]]],
    ["a pulse that nobody felt for", "pulse-not-checked", [["    confirm no pulse\n", ""]]],
    ["a release at once", "unstaged-release", [["    do staged-release\n", "    deflate all\n"]]],
    [
      "a cannula that is not looked at",
      "line-not-checked",
      [['    task cannula-check "In the blocked limb; nothing else is connected"\n', ""]],
    ],
  ] as const)("%s: accepted or not, every other verdict is the same", (_, rule, changes) => {
    const verdicts = (rules: string) =>
      checked({ rules, changes })
        .flatMap(({ protocols }) => protocols[0]?.verdicts ?? [])
        .filter((one) => !one.rule.startsWith("acceptance-"));
    const plain = verdicts("  set action-time 60 s");
    expect(plain.find((one) => one.rule === rule)?.kind).toBe("broken");
    expect(verdicts(accepts(rule))).toEqual(plain);
    expect(plain.filter(({ kind }) => kind === "not-decided")).toEqual([]);
    expect(findingsOf({ rules: accepts(rule), changes }, rule).every(({ accepted }) => accepted)).toBe(true);
  });
});
