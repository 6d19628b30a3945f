import { describe, expect, test } from "vitest";
import { checked, errorsOf, findingsOf, type Hospital, verdictOf } from "./hospital.ts";

const MAXIMUM = "agent-maximum-above-label";
const FAR = "answer-goes-too-far";

/** A drug of which no published maximum is known here, mixed into the block. */
function mixing({
  rules = "",
  agent = "ketorolac",
  atc = '  atc "M01AB15"\n',
  kind = "adjuvant",
  maximum = "30 mg",
  amount = "20 mg",
  ...more
}: Partial<Hospital> & {
  readonly agent?: string;
  readonly atc?: string;
  readonly kind?: string;
  readonly maximum?: string;
  readonly amount?: string;
}): Hospital {
  const formulary = `agent ${agent} {\n  kind ${kind}\n${atc}  concentration 30 mg/mL\n${maximum === "" ? "" : `  maximum ${maximum}\n`}}\n`;
  return {
    ...more,
    rules,
    changes: [
      ["protocol wrist-reduction", `${formulary}\nprotocol wrist-reduction`],
      ["    over   90 s to 3 min", `    over   90 s to 3 min\n    with ${agent} ${amount}`],
      ...(more.changes ?? []),
    ],
  };
}

function answers(value = "30 mg", { agent = "ketorolac", until = "2027-01-31" } = {}): string {
  return `  answer maximum of ${agent} ${value} source "Drug list" because "Wounds" by "Pharmacy" until ${until}`;
}

const verdictsOf = (hospital: Hospital) =>
  checked(hospital).flatMap(({ protocols }) => protocols[0]?.verdicts ?? []);
const openOf = (hospital: Hospital) => verdictsOf(hospital).filter(({ kind }) => kind === "not-decided");
const toldOf = (hospital: Hospital, rule: string) => findingsOf(hospital, rule).map(({ what }) => what);

describe("a published maximum that is not known here", () => {
  test("is not decided, and says how it can be answered", () => {
    expect(openOf(mixing({}))).toMatchObject([
      {
        rule: MAXIMUM,
        limit:
          "no published maximum of ketorolac is known here; local rules may give one, with its source: `answer maximum of ketorolac …`",
      },
    ]);
  });

  test("is answered by local rules, with all that they say of it, and is no rule that holds", () => {
    const hospital = mixing({ rules: answers() });
    expect(openOf(hospital)).toEqual([]);
    expect(verdictsOf(hospital).filter(({ kind }) => kind === "answered")).toMatchObject([
      {
        rule: MAXIMUM,
        answers: [
          {
            what: "at most 30 mg of ketorolac",
            source: "Drug list",
            because: "Wounds",
            by: "Pharmacy",
            until: "2027-01-31",
            origin: { file: "local-rules.limb" },
          },
        ],
      },
    ]);
    expect(findingsOf(hospital, FAR)).toEqual([]);
  });

  test("of two drugs is open while one of them is not answered", () => {
    const rules = `${answers()}\n${answers("8 mg", { agent: "lornoxicam" })}`;
    const second = "agent lornoxicam {\n  kind adjuvant\n  concentration 4 mg/mL\n  maximum 8 mg\n}\n";
    const changes = [
      ["protocol wrist-reduction", `${second}\nprotocol wrist-reduction`],
      ["    with ketorolac 20 mg", "    with ketorolac 20 mg\n    with lornoxicam 4 mg"],
    ] as const;
    expect(openOf(mixing({ rules: answers(), changes })).map(({ rule }) => rule)).toEqual([MAXIMUM]);
    const both = verdictsOf(mixing({ rules, changes })).find(({ rule }) => rule === MAXIMUM);
    expect(both).toMatchObject({
      kind: "answered",
      answers: [{ by: "Pharmacy" }, { what: "at most 8 mg of lornoxicam" }],
    });
  });

  test("of the same drug under another name, or of another drug, is not answered", () => {
    const named = (agent: string) => mixing({ agent, rules: answers() });
    expect(verdictOf(named("ketorolac-tromethamine"), MAXIMUM)).toBe("not-decided");
    expect(verdictOf(mixing({ rules: answers("30 mg", { agent: "lornoxicam" }) }), MAXIMUM)).toBe(
      "not-decided",
    );
  });
});

describe("what is answered counts", () => {
  test("against the formulary", () => {
    const hospital = mixing({ rules: answers(), maximum: "60 mg" });
    expect(verdictOf(hospital, MAXIMUM)).toBe("broken");
    expect(findingsOf(hospital, MAXIMUM)).toMatchObject([
      {
        severity: "unsafe",
        what: "The formulary allows 60 mg of ketorolac; the most that is answered is 30 mg.",
        label: "over the answered 30 mg",
      },
    ]);
  });

  test("against each dose, whatever the formulary says", () => {
    const over = mixing({ rules: answers(), maximum: "60 mg", amount: "60 mg" });
    expect(toldOf(over, "dose-over-maximum")).toEqual([
      "`local` gives more ketorolac than 30 mg: every patient.",
    ]);
    expect(toldOf(mixing({ rules: answers(), amount: "30 mg" }), "dose-over-maximum")).toEqual([]);
    const byWeight = mixing({
      agent: "dexmedetomidine",
      atc: '  atc "N05CM18"\n',
      maximum: "1 mcg/kg",
      amount: "20 mcg",
      rules: answers("0.4 mcg/kg", { agent: "dexmedetomidine" }),
    });
    expect(toldOf(byWeight, "dose-over-maximum")[0]).toContain("0.4 mcg/kg: 45 kg to under 50 kg");
  });

  test("where the formulary has no maximum at all, which is told", () => {
    const hospital = mixing({ rules: answers(), maximum: "", amount: "60 mg" });
    expect(toldOf(hospital, "dose-over-maximum")).toHaveLength(1);
    expect(toldOf(hospital, MAXIMUM)).toEqual([
      "The formulary gives ketorolac no maximum in all for age 16 to 85 years; the answered one is 30 mg.",
    ]);
  });

  test("against several doses together", () => {
    const twice = [["    inject local\n", "    inject local\n    wait 5 min\n    inject local\n"]] as const;
    const hospital = mixing({ rules: answers(), maximum: "60 mg", amount: "20 mg", changes: twice });
    expect(toldOf(hospital, "cumulative-dose-over-maximum").join()).toContain("more ketorolac than 30 mg");
  });
});

describe("an answer is refused", () => {
  const cases: Record<string, { readonly hospital: Hospital; readonly says: string }> = {
    "for a local anaesthetic by its name": {
      hospital: { rules: answers("5 mg/kg", { agent: "lidocaine" }) },
      says: "it is a local anaesthetic",
    },
    "for one whose name is not published about": {
      hospital: mixing({
        agent: "mepivacaine",
        atc: "",
        kind: "local-anaesthetic",
        maximum: "40 mg/kg",
        rules: answers("40 mg/kg", { agent: "mepivacaine" }),
      }),
      says: "it is a local anaesthetic",
    },
    "for one by its code, whatever it is called and made": {
      hospital: mixing({
        agent: "calmer",
        atc: '  atc "N01BB08"\n',
        rules: answers("40 mg/kg", { agent: "calmer" }),
      }),
      says: "it is a local anaesthetic",
    },
    "for one by what the formulary says": {
      hospital: mixing({
        agent: "numbing-drug",
        atc: "",
        kind: "local-anaesthetic",
        rules: answers("40 mg/kg", { agent: "numbing-drug" }),
      }),
      says: "it is a local anaesthetic",
    },
    "for what is published": {
      hospital: { rules: answers("20 mL/kg", { agent: "lipid-emulsion" }) },
      says: "its published maximum is known here",
    },
    "for a drug of which no use in the block is published": {
      hospital: mixing({
        agent: "numbing-drug",
        atc: "",
        rules: answers("40 mg/kg", { agent: "numbing-drug" }),
      }),
      says: "no published use there is known here",
    },
    "over what trials of the block gave": {
      hospital: mixing({ rules: answers("61 mg") }),
      says: "no trial of this block gave more than 60 mg",
    },
    "over it as a volume": {
      hospital: mixing({ rules: answers("3 mL") }),
      says: "no trial of this block gave more than 60 mg",
    },
    "where it cannot be held against them": {
      hospital: mixing({ rules: answers("40 mg/kg") }),
      says: "no trial of this block gave more than 60 mg",
    },
    "of nothing": { hospital: mixing({ rules: answers("0 mg") }), says: "a maximum is over zero" },
    "past the review": {
      hospital: mixing({ rules: answers("30 mg", { until: "2027-07-01" }) }),
      says: "it ends after the review of the protocol, which is due by 2027-06-30",
    },
  };

  test.each(Object.entries(cases))("%s", (_, { hospital, says }) => {
    expect(findingsOf(hospital, FAR)).toMatchObject([{ severity: "unsafe" }]);
    expect(toldOf(hospital, FAR)[0]).toContain(says);
    expect(verdictsOf(hospital).filter(({ kind }) => kind === "answered")).toEqual([]);
  });

  test("for a drug that is given, where the formulary does not say what it is", () => {
    const given = {
      rules: answers("5 mg", { agent: "calmer" }),
      changes: [
        [
          "protocol wrist-reduction",
          "agent calmer {\n  concentration 1 mg/mL\n  maximum 5 mg\n}\n\nprotocol wrist-reduction",
        ],
        ["  timer hold", "  dose calm of calmer {\n    amount 2 mg\n    over 1 min\n  }\n\n  timer hold"],
        ["    apply cuffs", "    give calm\n    apply cuffs"],
      ] as const,
    };
    expect(toldOf(given, FAR)[0]).toContain("the formulary does not say what kind of drug it is");
    const known = {
      ...given,
      changes: given.changes.map(
        ([a, b]) => [a, b.replace("concentration", "kind adjuvant\n  concentration")] as const,
      ),
    };
    expect(findingsOf(known, FAR)).toEqual([]);
    expect(verdictOf(known, MAXIMUM)).toBe("answered");
  });

  test("for more than a year, and then covers nothing", () => {
    const until = {
      review: [["review by 2027-06-30", "review by 2029-06-30"]] as const,
      rules: answers("30 mg", { until: "2027-11-26" }),
    };
    const hospital = mixing({ rules: until.rules, changes: until.review });
    expect(toldOf(hospital, FAR)[0]).toContain("An answer holds for a year at most");
    expect(verdictOf(hospital, MAXIMUM)).toBe("not-decided");
    expect(verdictOf({ ...hospital, on: "2026-11-26" }, MAXIMUM)).toBe("answered");
  });

  test("from the day after its end", () => {
    const hospital = mixing({ rules: answers() });
    const dayAfter = { ...hospital, on: "2027-02-01" };
    expect(verdictOf({ ...hospital, on: "2027-01-31" }, MAXIMUM)).toBe("answered");
    expect(openOf(dayAfter)).toMatchObject([
      {
        rule: MAXIMUM,
        limit: expect.stringContaining("the answer of the local rules does not hold on 2027-02-01"),
      },
    ]);
    expect(toldOf(dayAfter, "acceptance-expired")[0]).toContain("ended on 2027-01-31");
  });

  test.each([["source"], ["because"], ["by"]])("without its %s", (part) => {
    const rules = answers().replace(new RegExp(`${part} "[^"]*"`), "");
    expect(errorsOf(mixing({ rules }))).toEqual([
      expect.stringMatching(/^statement-missing: An answer needs a source/),
    ]);
  });

  test("without an end, or with a day that is none", () => {
    expect(errorsOf(mixing({ rules: answers().replace(/until .*/, "") }))[0]).toContain("lacks `until DATE`");
    expect(errorsOf(mixing({ rules: answers("30 mg", { until: "2027-02-30" }) }))[0]).toContain(
      "date-not-real",
    );
  });

  test("when it is given twice, or is no amount", () => {
    expect(errorsOf(mixing({ rules: `${answers()}\n${answers("60 mg")}` }))[0]).toContain("answered twice");
    expect(errorsOf(mixing({ rules: `${answers()}\n${answers("0.5 mg/kg")}` }))).toEqual([]);
    expect(errorsOf(mixing({ rules: answers("30 min") }))[0]).toContain("unit-mismatch");
  });

  test.each(["agent-not-for-ivra", "adjuvant-adds-little", "early-release.minimum"])(
    "for anything else than a maximum: %s",
    (rule) => {
      const rules = `  answer ${rule} of ketorolac 30 mg source "Drug list" because "Wounds" by "Pharmacy" until 2027-01-31`;
      expect(errorsOf(mixing({ rules })).length).toBeGreaterThan(0);
      expect(verdictsOf(mixing({ rules })).filter(({ kind }) => kind === "answered")).toEqual([]);
    },
  );
});

test("an answer for a drug that no protocol has is not needed, also where it is misspelt", () => {
  const files = ["protocol.limb", "local-rules.limb"];
  const unused = (agent: string) =>
    toldOf(mixing({ rules: answers("30 mg", { agent }), files }), "acceptance-unused");
  expect(unused("ketorolak")).toEqual([
    "No drug of the one checked protocol with these local rules is called `ketorolak`; the answer is not needed.",
  ]);
  expect(unused("ketorolac")).toEqual([]);
});

describe("a drug that nobody knows, injected for the block", () => {
  const RULE = "agent-not-for-ivra";
  const injecting = (formulary: string, name = "numbing-drug"): Hospital => ({
    rules: "",
    changes: [
      [
        "protocol wrist-reduction",
        `agent ${name} {\n${formulary}\n  concentration 0.5 %\n  plain\n  preservative-free\n  maximum 40 mg/kg\n}\n\nprotocol wrist-reduction`,
      ],
      ["of lidocaine", `of ${name}`],
    ],
    amount: "40 mg/kg",
  });

  test.each([
    ["made a local anaesthetic", "  kind local-anaesthetic"],
    ["made a local anaesthetic, with a code of none of them", '  kind local-anaesthetic\n  atc "N01BB99"'],
    ["without a kind", ""],
  ])("is unsafe: %s", (_, formulary) => {
    const hospital = injecting(formulary);
    expect(findingsOf(hospital, RULE)).toMatchObject([{ severity: "unsafe", label: "not a known drug" }]);
    expect(
      errorsOf({ ...hospital, rules: `  accept ${RULE} because "New" by "Pharmacy" until 2027-01-31` }),
    ).toEqual([`parameter-not-allowed: A finding of \`${RULE}\` cannot be accepted.`]);
  });

  test("also where it ends like one, and is in no list", () => {
    expect(findingsOf(injecting("  kind local-anaesthetic", "calmocaine"), RULE)).toHaveLength(1);
  });

  test("also mixed into the block", () => {
    const hospital = mixing({ agent: "numbing-drug", atc: "", kind: "local-anaesthetic" });
    expect(toldOf(hospital, RULE)).toEqual([
      "`local` mixes in numbing-drug, a drug that is known here neither by its name nor by its ATC code; so nothing says how much of it is safe.",
    ]);
  });

  test("but a local anaesthetic that is known is not decided, and none is a drug of the trials", () => {
    expect(verdictOf(injecting("  kind local-anaesthetic", "mepivacaine"), RULE)).toBe("not-decided");
    expect(verdictOf(mixing({}), RULE)).toBe("holds");
  });
});
