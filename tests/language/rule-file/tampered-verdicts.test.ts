import { type Verification, verifyRuleFile } from "@limbwright/language";
import type { RuleFile } from "@limbwright/shared/rule-file";
import { againstFile } from "@limbwright/shared/runtime";
import { describe, expect, test } from "vitest";
import { baseTexts, compiledFrom, fileFrom, ON, textFrom } from "./compiled.ts";
import { type Changeable, type Json, withDigestsOf, withoutLostPlaces } from "./mutations.ts";

/**
 * What somebody does who can write the file, and its digests with it. Each has to be refused by the reader, told by `limb verify` as a difference,
 * or named by it as what nobody has proven.
 */
type Forgery = (file: Changeable<RuleFile>) => void;

const KETOROLAC =
  '\nagent ketorolac {\n  kind adjuvant\n  atc "M01AB15"\n  concentration 30 mg/mL\n  maximum 30 mg\n}\n';
const NEVER = 'require "Never so" { never drug in limb and since first inflation over 10 min }\n\n';
const LOCAL = `local-rules tarn-hollow {
  set action-time 75 s
  accept requirement-broken of "Never so" because "Trial" by "Lead" by "Pharmacy" until 2027-01-31
  answer maximum of ketorolac 30 mg source "Drug list" because "Wounds" by "Pharmacy" until 2027-01-31
}
`;

/** A hospital whose own maximum is lower than the published one, and a dose of 3.5 mg/kg that it accepts up to that. */
function acceptedUpTo(value = "3.5 mg/kg", place = " in wrist-reduction"): Map<string, string> {
  const base = baseTexts();
  const text = (file: string) => base.get(file) ?? "";
  return baseTexts({
    "protocol.limb": text("protocol.limb").replace("3 mg/kg up to 200 mg", "3.5 mg/kg up to 200 mg"),
    "formulary.limb": text("formulary.limb").replace("4 mg/kg", "3 mg/kg"),
    "local-rules.limb": `local-rules tarn-hollow {
  set action-time 75 s
  accept dose-over-maximum of local${place} up to ${value} because "Tendons" by "Lead" by "Pharmacy" until 2027-01-31
}
`,
  });
}

function textsWith(...changes: readonly (readonly [from: string, to: string])[]): Map<string, string> {
  const base = baseTexts();
  const all = [
    ["    over   90 s to 3 min", "    over   90 s to 3 min\n    with ketorolac 20 mg"] as const,
    ["  prepare {", `  ${NEVER}  prepare {`] as const,
    ...changes,
  ];
  return baseTexts({
    "protocol.limb": all.reduce(
      (text, [from, to]) => text.replace(from, to),
      base.get("protocol.limb") ?? "",
    ),
    "formulary.limb": `${base.get("formulary.limb")}${KETOROLAC}`,
    "local-rules.limb": LOCAL,
  });
}

/** A file for use with something accepted and something answered; and a draft with something unsafe in steps, dose and text. */
const SOUND = textFrom(textsWith());
const UNSAFE = textFrom(
  textsWith(
    ["3 mg/kg up to 200 mg", "40 mL"],
    ["    wait for hold\n", ""],
    ["at most  50 min", "at most  50.0 min"],
  ),
  "protocol.limb",
  { draft: true },
);

const UP_TO = textFrom(acceptedUpTo());

function forged(text: string, change: Forgery): Verification {
  const file = JSON.parse(text) as Changeable<RuleFile>;
  change(file);
  const json = withDigestsOf(withoutLostPlaces(file as unknown as Json));
  return verifyRuleFile(JSON.stringify(json), { on: ON });
}

function verdict(file: Changeable<RuleFile>, rule: string) {
  const at = file.proof.verdicts.findIndex((one) => one.rule === rule);
  if (at < 0) throw new Error(`no verdict ${rule}`);
  return at;
}

function says(rule: string, kind: "holds" | "broken" | "answered" | "not-decided"): Forgery {
  return (file) => {
    const at = verdict(file, rule);
    const { parameters } = file.proof.verdicts[at] ?? { parameters: [] };
    const rest = {
      holds: {},
      broken: { unsafe: [], mayBeUnsafe: true },
      answered: { mayBeUnsafe: true },
      "not-decided": { limit: "no time", mayBeUnsafe: true },
    }[kind];
    file.proof.verdicts[at] = { rule, kind, parameters, ...rest } as never;
  };
}

const forUse: Forgery = (file) => {
  file.use = "protocol" as never;
  delete (file as { findings?: unknown }).findings;
};
const first = <T>(list: readonly T[]): T => {
  const [one] = list;
  if (one === undefined) throw new Error("the list is empty");
  return one;
};
const brokenIn = (file: Changeable<RuleFile>, rule: string) => {
  const one = file.proof.verdicts[verdict(file, rule)];
  if (one?.kind !== "broken") throw new Error(`${rule} is not broken`);
  return one;
};
const later = "2027-06-01";

test("a dose that is accepted up to a value is in the file with it, judged again, and not among what is proven", () => {
  const { proof } = fileFrom(UP_TO);
  expect(proof.accepted).toMatchObject([
    {
      rule: "dose-over-maximum",
      subject: "local",
      protocol: "wrist-reduction",
      upTo: { value: "3.5", unit: "mg/kg" },
      alsoBy: "Pharmacy",
    },
  ]);
  expect(proof.accepted[0]?.findings).toHaveLength(1);
  const verification = verifyRuleFile(UP_TO, { on: ON });
  if (verification.kind !== "agrees") throw new Error(JSON.stringify(verification).slice(0, 500));
  expect(verification.decisions).toMatchObject([{ kind: "accepted", upTo: "3.5 mg/kg", hasEnded: false }]);
  expect(verification.proven).not.toContain("dose-over-maximum");
  expect(compiledFrom(acceptedUpTo("3.4 mg/kg")).kind).toBe("refused");
  expect(compiledFrom(acceptedUpTo("3.5 mg/kg", "")).kind).toBe("refused");
  const draft = textFrom(acceptedUpTo("3.4 mg/kg"), "protocol.limb", { draft: true });
  expect(verifyRuleFile(draft, { on: ON }).kind).toBe("agrees");
});

test("a program may follow it while the acceptance lasts, and no longer", () => {
  const broken = (on: string) =>
    againstFile(fileFrom(UP_TO), { on }).filter(({ kind }) => kind === "broken" || kind === "not-decided");
  expect(broken(ON)).toEqual([]);
  expect(broken("2027-02-01")).toMatchObject([{ kind: "broken", name: "dose-over-maximum" }]);
});

test("what is forged is sound before, and names what is accepted and answered", () => {
  const sound = verifyRuleFile(SOUND, { on: ON });
  if (sound.kind !== "agrees") throw new Error(JSON.stringify(sound).slice(0, 500));
  expect(sound.decisions.map(({ kind }) => kind)).toEqual(["accepted", "answered"]);
  expect(sound.proven).not.toContain("requirement-broken");
  expect(verifyRuleFile(UNSAFE, { on: ON })).toMatchObject({ kind: "agrees", use: "draft" });
  expect(fileFrom(UNSAFE).findings?.some(({ rule, severity }) => rule === "trailing-zero" && severity)).toBe(
    true,
  );
});

describe("found, where the forger writes the digests anew:", () => {
  const forgeries: Record<string, readonly [text: string, change: Forgery]> = {
    "a draft that becomes a file for use": [UNSAFE, forUse],
    "and whose broken rules hold": [
      UNSAFE,
      (file) => {
        forUse(file);
        for (const { rule, kind } of [...file.proof.verdicts])
          if (kind !== "holds") says(rule, "holds")(file);
      },
    ],
    "a broken rule that found nothing unsafe": [
      UNSAFE,
      (file) => {
        brokenIn(file, "dose-over-maximum").unsafe = [];
      },
    ],
    "a broken rule whose breach is never unsafe": [
      UNSAFE,
      (file) => {
        brokenIn(file, "early-release").mayBeUnsafe = false;
      },
    ],
    "a finding that is left out of a draft": [
      UNSAFE,
      (file) => {
        file.findings = file.findings?.filter(({ rule }) => rule !== "early-release") as never;
      },
    ],
    "a finding that is accepted": [
      UNSAFE,
      (file) => {
        for (const one of file.findings ?? []) one.accepted = true;
      },
    ],
    "an acceptance of what nobody may accept": [
      UNSAFE,
      (file) => {
        const { unsafe } = brokenIn(file, "dose-over-maximum");
        const { what } = first(unsafe);
        unsafe[0] = { what, subject: "local" };
        const one = first(file.proof.accepted);
        file.proof.accepted.push({ ...one, rule: "dose-over-maximum", subject: "local", findings: [what] });
        forUse(file);
      },
    ],
    "a value past what is published": [
      UP_TO,
      (file) => {
        first(file.proof.accepted).upTo = { value: "4.5", unit: "mg/kg" };
      },
    ],
    "a value under what is given": [
      UP_TO,
      (file) => {
        first(file.proof.accepted).upTo = { value: "3.4", unit: "mg/kg" };
      },
    ],
    "a value of another kind": [
      UP_TO,
      (file) => {
        first(file.proof.accepted).upTo = { value: "400", unit: "mg" };
      },
    ],
    "a value in time": [
      UP_TO,
      (file) => {
        first(file.proof.accepted).upTo = { value: "90", unit: "min" };
      },
    ],
    "a value of no unit": [
      UP_TO,
      (file) => {
        first(file.proof.accepted).upTo = { value: "3.5", unit: "mg/lb" as never };
      },
    ],
    "a value that is left out": [UP_TO, (file) => void delete first(file.proof.accepted).upTo],
    "an acceptance up to a value for every protocol": [
      UP_TO,
      (file) => void delete first(file.proof.accepted).protocol,
    ],
    "one for another protocol": [
      UP_TO,
      (file) => {
        first(file.proof.accepted).protocol = "ankle-reduction";
      },
    ],
    "a value for another dose": [
      UP_TO,
      (file) => {
        first(file.proof.accepted).subject = "lipid-bolus";
      },
    ],
    "an acceptance up to a value by one role": [
      UP_TO,
      (file) => void delete first(file.proof.accepted).alsoBy,
    ],
    "what is accepted up to a value, as proven": [UP_TO, says("dose-over-maximum", "holds")],
    "a formulary that allows what is accepted": [
      UP_TO,
      (file) => {
        for (const { maxima } of file.protocol.agents)
          for (const { limit } of maxima) if (limit.unit === "mg/kg") limit.value = "4";
      },
    ],
    "an acceptance that is left out": [SOUND, (file) => void file.proof.accepted.splice(0, 1)],
    "an acceptance by one role": [SOUND, (file) => void delete first(file.proof.accepted).alsoBy],
    "an acceptance of everything": [SOUND, (file) => void delete first(file.proof.accepted).subject],
    "an acceptance past the review": [
      SOUND,
      (file) => {
        first(file.proof.accepted).until = "2027-07-01";
      },
    ],
    "an acceptance that covers more": [
      SOUND,
      (file) => void first(file.proof.accepted).findings.push("All of it."),
    ],
    "an acceptance and a review far ahead": [
      SOUND,
      (file) => {
        first(file.proof.accepted).until = "2036-01-01";
        (file.standing as { reviewBy?: string }).reviewBy = "2036-01-01";
      },
    ],
    "an answer and a review far ahead": [
      SOUND,
      (file) => {
        first(file.proof.answers).until = "2036-01-01";
        (file.standing as { reviewBy?: string }).reviewBy = "2036-01-01";
      },
    ],
    "an answer that allows more than is given": [
      SOUND,
      (file) => {
        first(file.proof.answers).limit.value = "10";
      },
    ],
    "an answer that is left out": [SOUND, (file) => void file.proof.answers.splice(0, 1)],
    "what is answered, as proven": [SOUND, says("agent-maximum-above-label", "holds")],
    "what is broken and accepted, as proven": [SOUND, says("requirement-broken", "holds")],
    "a rule that holds, as not decided": [SOUND, says("early-release", "not-decided")],
    "a rule of the text, as answered": [SOUND, says("trailing-zero", "answered")],
    "a rule that is left out": [
      SOUND,
      (file) => {
        const at = verdict(file, "requirement-broken");
        file.proof.verdicts.splice(at, 1);
      },
    ],
    "another catalogue": [
      SOUND,
      (file) => {
        file.proof.catalogue = 1;
      },
    ],
    "the end of an acceptance by a letter": [
      SOUND,
      (file) => {
        first(file.proof.accepted).until = "soon";
      },
    ],
    "a dose of ten times the concentration": [
      SOUND,
      (file) => {
        for (const one of file.protocol.agents.flatMap(({ concentrations }) => concentrations))
          one.value += "0";
      },
    ],
    "an edge past the wait": [
      SOUND,
      (file) => {
        if (file.runs.kind !== "explored") throw new Error("not explored");
        const { edges } = file.runs.automaton;
        const wait = edges.find(({ says: words, kind }) => words === "wait for hold" && kind === "end");
        if (!wait) throw new Error("no wait");
        delete (wait as { guard?: unknown }).guard;
      },
    ],
    "a check that is no longer asked": [
      SOUND,
      (file) => {
        if (file.runs.kind !== "explored") throw new Error("not explored");
        for (const edge of file.runs.automaton.edges) delete (edge as { checks?: unknown }).checks;
      },
    ],
    "runs that were not gone through": [
      SOUND,
      (file) => {
        (file as { runs: unknown }).runs = { kind: "not-explored", limit: "no time" };
      },
    ],
  };

  test.each(Object.entries(forgeries))("%s", (_, [text, change]) => {
    const verification = forged(text, change);
    const isNamed = verification.kind === "agrees" && verification.decisions.some((one) => one.reachesTooFar);
    expect(isNamed ? "named" : verification.kind).not.toBe("agrees");
  });
});

describe("not found, but named:", () => {
  test("a rule of the text that is said to hold: nobody can judge it without the text", () => {
    const verification = forged(UNSAFE, says("trailing-zero", "holds"));
    if (verification.kind === "unreadable") throw new Error("unreadable");
    expect(verification.proven).not.toContain("trailing-zero");
    expect(verification.notProven).toContainEqual(
      expect.objectContaining({ rule: "trailing-zero", kind: "of-the-text" }),
    );
  });

  test("an acceptance and an answer with a later end, with that end", () => {
    const verification = forged(SOUND, (file) => {
      first(file.proof.accepted).until = later;
      first(file.proof.answers).until = later;
    });
    if (verification.kind !== "agrees") throw new Error(verification.kind);
    expect(verification.decisions.map(({ until }) => until)).toEqual([later, later]);
  });

  test("a value that is raised within what is published: it is told, and the approved digest of the proof is another", () => {
    const verification = forged(UP_TO, (file) => {
      first(file.proof.accepted).upTo = { value: "4", unit: "mg/kg" };
    });
    if (verification.kind !== "agrees") throw new Error(verification.kind);
    expect(verification.decisions.map(({ kind, upTo }) => [kind, upTo])).toEqual([["accepted", "4 mg/kg"]]);
    expect(verification.proof).not.toBe(fileFrom(UP_TO).digests.proof);
  });

  test("an approval that nobody gave: the approved digest of the proof alone tells it", () => {
    const approve: Forgery = (file) => {
      (file.standing as { status: unknown }).status = { kind: "approved", by: "Committee", on: ON };
    };
    const { digests } = fileFrom(SOUND);
    const verification = forged(SOUND, approve);
    if (verification.kind === "unreadable") throw new Error("unreadable");
    expect(verification).toMatchObject({ kind: "agrees", meaning: digests.meaning });
    expect(verification.proof).not.toBe(digests.proof);
  });
});
