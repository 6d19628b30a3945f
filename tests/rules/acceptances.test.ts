import { ruleList } from "@limbwright/language";
import { describe, expect, test } from "vitest";
import { errorsOf, findingsOf, type Hospital, verdictOf } from "./hospital.ts";

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
  /** A requirement of the hospital's own that nothing keeps. */
  const broken: Pick<Hospital, "changes"> = {
    changes: [
      ["  emergency toxicity", '  require "Never" {\n    never drug in limb\n  }\n\n  emergency toxicity'],
    ],
  };
  const judged = (hospital: Hospital, rule: string) =>
    findingsOf(hospital, rule).map(({ accepted, severity }) => [severity, accepted !== undefined]);

  test("of what is unsafe after a year, and then it covers nothing", () => {
    const within = { ...broken, rules: accepts(REQUIRED, "2027-11-25") };
    expect(judged(within, REQUIRED)).toEqual([["unsafe", true]]);
    expect(judged(within, FAR)).toEqual([]);
    const beyond = { ...broken, rules: accepts(REQUIRED, "2027-11-26") };
    expect(judged(beyond, REQUIRED)).toEqual([["unsafe", false]]);
    expect(findingsOf(beyond, FAR).map(({ what }) => what)).toEqual([
      "`requirement-broken` is accepted until 2027-11-26. What is unsafe can be accepted for a year at most, so this covers nothing.",
    ]);
    expect(judged({ ...beyond, on: "2026-11-26" }, REQUIRED)).toEqual([["unsafe", true]]);
  });

  test("also where nothing is found that it would cover", () => {
    expect(judged({ rules: accepts(REQUIRED, "2036-01-01") }, FAR)).toEqual([["unsafe", false]]);
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
    expect(judged({ ...leap, rules: accepts(REQUIRED, "2029-02-28") }, FAR)).toEqual([]);
    expect(judged({ ...leap, rules: accepts(REQUIRED, "2029-03-01") }, FAR)).toHaveLength(1);
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
      "parameter-not-allowed: A finding of `dose-over-maximum` cannot be accepted.",
    ]);
    expect(judged({ rules, amount: "40 mL" }, "dose-over-maximum")).toEqual([["unsafe", false]]);
  });

  test("for few rules only is anything unsafe accepted at all", () => {
    const unsafe = ruleList.filter(
      ({ severity, isUnsafeAcceptable }) => severity === "unsafe" && isUnsafeAcceptable,
    );
    expect(unsafe.map(({ id }) => id)).toEqual([
      "number-badly-written",
      "requirement-broken",
      "timer-claim-broken",
    ]);
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
