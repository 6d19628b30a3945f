import { describe, expect, test } from "vitest";
import { isKnownAnaesthetic, isOtherDrug, isSameDrug } from "../../language/rules/facts/drugs.ts";
import { injected, small } from "./small-protocol.ts";

const ORIGIN = { file: "", start: { line: 1, column: 1, offset: 0 }, end: { line: 1, column: 1, offset: 0 } };

/** An agent as a formulary may carry it. */
function agent(name: string, more: { readonly title?: string; readonly atc?: string } = {}) {
  const { title, atc } = more;
  return {
    name,
    origin: ORIGIN,
    nameOrigin: ORIGIN,
    concentrations: [],
    maxima: [],
    cautions: [],
    sources: [],
    ...(title !== undefined && { title }),
    ...(atc !== undefined && { atc: { value: atc, origin: ORIGIN } }),
  };
}

describe("a local anaesthetic is known", () => {
  test.each([
    "lidocaine",
    "lignocaine",
    "Lignocaine",
    "plain-lidocaine",
    "lidocaine-2-percent",
    "lidocaine2percent",
    "lidocaine_plain",
    "lidocaine-preservative-free",
    "prilocaine",
    "mepivacaine",
    "articaine",
    "dibucaine",
    "amethocaine",
    "bupivicaine",
    "cocaine",
  ])("by its name: %s", (name) => {
    expect(isKnownAnaesthetic(agent(name))).toBe(true);
  });

  test.each(["N01BB02", "n01bb02", "N01 BB02", "N01BB52", "N01BA04", "C01BB01", "D04AB06"])(
    "by its ATC code: %s",
    (atc) => {
      expect(isKnownAnaesthetic(agent("drug-from-the-drawer", { atc }))).toBe(true);
    },
  );

  test.each([
    "Lidocaine",
    "Lidocaine hydrochloride 1 %",
    "Lidocaïne 10 mg/mL, plain",
    "Prilocaine for infiltration",
  ])("by a title that is nothing but its name: %s", (title) => {
    expect(isKnownAnaesthetic(agent("white-box", { title }))).toBe(true);
  });
});

test.each([
  ["lipid-emulsion", "Lidocaine antidote"],
  ["lipid-emulsion", "For bupivacaine toxicity"],
  ["lipid-emulsion", "Rescue from a local anaesthetic"],
  ["lidocaine-antidote", "Lipid emulsion"],
  ["caffeine", undefined],
  ["flecainide", undefined],
  ["adrenaline", "With lidocaine in the trolley"],
])("%s, titled %s, is not taken for a local anaesthetic", (name, title) => {
  expect(isKnownAnaesthetic(agent(name, title === undefined ? {} : { title }))).toBe(false);
});

test("a drug of another code is no local anaesthetic, but one of the name is", () => {
  expect(isOtherDrug(agent("paracetamol", { atc: "N02BE01" }))).toBe(true);
  expect(isOtherDrug(agent("noradrenaline"))).toBe(true);
  expect(isOtherDrug(agent("something"))).toBe(false);
  expect(isOtherDrug(agent("lidocaine", { atc: "N02BE01" }))).toBe(false);
});

test("one local anaesthetic under two names is one drug, in whatever strength", () => {
  expect(isSameDrug(agent("lidocaine-2-percent"), agent("plain-lignocaine"))).toBe(true);
  expect(isSameDrug(agent("drawer", { atc: "N01BB02" }), agent("lidocaine"))).toBe(true);
  expect(isSameDrug(agent("lidocaine"), agent("prilocaine"))).toBe(false);
});

const DISGUISED = `agent numbing {
  kind adjuvant
  atc "N01BB02"
  concentration 1 %
  plain
  preservative-free
  maximum 4 mg/kg
}`;

const LOCAL = injected("local", "lidocaine", "2 mg/kg up to 150 mg");

/** A hold, the release and the watch after it. */
const RELEASE = "wait 30 min\n    deflate all\n    recovery 30 min";

const TOXICITY = (answer: string, steps: string) => `throughout {
    when toxicity-signs once {
      ${answer}
    }
  }
  emergency toxicity "Toxicity" {
    dose lipid of lipid-emulsion {
      amount 1.5 mL/kg
      over 1 min
    }
    task help "Call for help"
    give lipid
    ${steps}
  }`;

describe("a kind that is wrong", () => {
  test("hides nothing: what is given under it is found, and counts", () => {
    const parts = {
      agents: DISGUISED,
      doses: `${LOCAL}\n${injected("second", "numbing", "2 mg/kg")}`,
      steps: `inject local\n give second\n ${RELEASE}`,
    };
    expect(small("anaesthetic-kind-wrong", parts).verdict).toBe("broken");
    expect(small("anaesthetic-given-elsewhere", parts).verdict).toBe("broken");
    const three = { ...parts, doses: `${LOCAL}\n${injected("second", "numbing", "3 mg/kg")}` };
    expect(small("cumulative-dose-over-maximum", three).verdict).toBe("broken");
  });

  test("does not keep the block from being one", () => {
    const parts = {
      agents: DISGUISED,
      doses: injected("local", "numbing", "2 mg/kg"),
      steps: `inject local\n${RELEASE}`,
    };
    expect(small("block-not-injected", parts).verdict).toBe("holds");
    expect(small("dose-without-cap", parts).findings).not.toEqual([]);
  });

  test("a drug of no known name, code or kind leaves the rules undecided", () => {
    const parts = {
      agents: "agent mystery {\n concentration 1 mg/mL\n maximum 20 mg\n}",
      doses: `${injected("local", "mystery", "10 mg")}\n${injected("other", "mystery", "1 mg")}`,
      steps: `inject local\n give other\n ${RELEASE}`,
    };
    expect(small("anaesthetic-given-elsewhere", parts).verdict).toBe("not-decided");
    expect(small("block-not-injected", parts).verdict).toBe("not-decided");
  });
});

describe("a local anaesthetic that is given", () => {
  const SECOND = injected("second", "lidocaine", "3 mg/kg");
  const at = (steps: string, more = "") => ({ doses: `${LOCAL}\n${SECOND}`, steps, more });

  test.each([
    ["in the plan", at(`inject local\n give second\n ${RELEASE}`)],
    ["in one branch of a question", at(`inject local\n ask "?" { yes { give second } no { } }\n ${RELEASE}`)],
    ["in a routine", at(`inject local\n do top\n ${RELEASE}`, "routine top {\n give second\n }")],
    [
      "in the answer to an event",
      at(
        `inject local\n stage s {\n task "T"\n when patient-distress once {\n give second\n }\n }\n ${RELEASE}`,
      ),
    ],
    ["in an emergency", at(`inject local\n ${RELEASE}`, TOXICITY("go to emergency toxicity", "give second"))],
    ["where a cuff is not firm", at(`inject local\n confirm proximal else {\n give second\n }\n ${RELEASE}`)],
  ])("%s goes into the circulation", (_, parts) => {
    expect(small("anaesthetic-given-elsewhere", parts).verdict).toBe("broken");
  });

  test("mixed into another drug it does, too", () => {
    const parts = {
      agents: 'agent midazolam {\n kind adjuvant\n atc "N05CD08"\n concentration 1 mg/mL\n maximum 5 mg\n}',
      doses: `${LOCAL}\n${injected("sedation", "midazolam", "2 mg", "with lidocaine 10 mg")}`,
      steps: `inject local\n give sedation\n ${RELEASE}`,
    };
    expect(small("anaesthetic-given-elsewhere", parts).verdict).toBe("broken");
    const alone = { ...parts, doses: `${LOCAL}\n${injected("sedation", "midazolam", "2 mg")}` };
    expect(small("anaesthetic-given-elsewhere", alone).verdict).toBe("holds");
  });

  test.each(["infiltration", "nerve-block"])("as %s it counts in full with the block", (place) => {
    const parts = at(`inject local\n give second as ${place}\n ${RELEASE}`);
    expect(small("anaesthetic-given-elsewhere", parts).verdict).toBe("holds");
    expect(small("cumulative-dose-over-maximum", parts).verdict).toBe("broken");
  });

  test("another local anaesthetic as infiltration adds up with the block", () => {
    const parts = {
      agents:
        'agent mepivacaine {\n kind local-anaesthetic\n atc "N01BB03"\n concentration 1 %\n maximum 5 mg/kg\n}',
      doses: `${injected("local", "lidocaine", "3 mg/kg up to 300 mg")}\n${injected("skin", "mepivacaine", "3 mg/kg")}`,
      steps: `inject local\n give skin as infiltration\n ${RELEASE}`,
    };
    expect(small("combined-anaesthetics-over-maximum", parts).verdict).toBe("broken");
  });
});

describe("after signs of toxicity", () => {
  const SECOND = injected("second", "lidocaine", "20 mg");
  const GO = "go to emergency toxicity";
  const ask = (steps: string) => `ask "Mild?" {\n yes { ${steps} }\n no { ${GO} }\n }`;
  const parts = (steps: string, answer = GO, emergency = "") => ({
    doses: `${LOCAL}\n${SECOND}`,
    steps: `inject local\n ${steps}\n ${RELEASE}`,
    more: TOXICITY(answer, emergency),
  });

  test.each([
    ["injected in the emergency", parts("", GO, "inject second")],
    ["infiltrated in the emergency", parts("", GO, "give second as infiltration")],
    [
      "behind a question of the emergency",
      parts("", GO, 'ask "Pain?" { yes { give second as nerve-block } no { } }'),
    ],
    ["in the answer itself", parts("", `give second as infiltration\n ${GO}`)],
    ["in the plan that the answer goes on with", parts("wait 1 min\n inject second", ask("watch 1 min"))],
    [
      "in an answer to another event later on",
      parts(
        'stage s {\n task "T"\n when patient-distress once {\n inject second\n }\n }',
        ask("watch 1 min"),
      ),
    ],
    [
      "in a routine of the plan",
      {
        ...parts("do top", ask("watch 1 min")),
        more: `${TOXICITY(ask("watch 1 min"), "")}\n routine top {\n inject second\n }`,
      },
    ],
  ])("a local anaesthetic is found %s", (_, protocol) => {
    const answer = small("anaesthetic-after-toxicity", protocol);
    expect(answer.verdict).toBe("broken");
  });

  test("an emergency that gives lipid and that nothing leads to is one, too", () => {
    const lonely = parts("", "go to emergency other", "inject second");
    const more = `${lonely.more}\n emergency other {\n task "Help"\n }`;
    expect(small("anaesthetic-after-toxicity", { ...lonely, more }).verdict).toBe("broken");
  });

  test("at a leak it is found where signs of toxicity may have been answered before", () => {
    const more = TOXICITY(ask("watch 1 min"), "").replace(
      "throughout {",
      "throughout {\n when cuff-leak once {\n inflate all\n confirm all\n inject second\n }",
    );
    expect(small("anaesthetic-after-toxicity", { ...parts(""), more }).verdict).toBe("broken");
  });

  test.each([
    ["before them", parts("wait 1 min\n give second as infiltration")],
    ["before anything went into the limb they are none", parts("", ask("watch 1 min"))],
  ])("nothing is found of what is given %s", (_, protocol) => {
    expect(small("anaesthetic-after-toxicity", protocol).verdict).toBe("holds");
  });
});

describe("a protocol without its block", () => {
  const ofTime = ["early-release", "no-cuff-up", "recovery-too-short"];
  const nothing = { doses: LOCAL, steps: "wait 1 s\n deflate all\n recovery 30 min" };

  test("is found, and nothing about order and time is said to hold", () => {
    expect(small("block-not-injected", nothing).verdict).toBe("broken");
    for (const rule of ofTime) {
      const { verdict, limit } = small(rule, nothing);
      expect([rule, verdict]).toEqual([rule, "not-decided"]);
      expect(limit).toContain("nothing to prove");
    }
  });

  test.each([
    [
      "is injected in an emergency alone",
      { ...nothing, more: TOXICITY("go to emergency toxicity", "inject local") },
    ],
    [
      "is infiltrated alone",
      { ...nothing, steps: "give local as infiltration\n deflate all\n recovery 30 min" },
    ],
    ["stands behind the end", { ...nothing, steps: "deflate all\n recovery 30 min\n finish\n inject local" }],
    [
      "is lipid",
      { ...nothing, doses: injected("local", "lipid-emulsion", "1 mL"), steps: `inject local\n ${RELEASE}` },
    ],
  ])("is found where it %s", (_, parts) => {
    expect(small("block-not-injected", parts).verdict).toBe("broken");
  });

  test.each([
    ["in one branch", 'ask "?" { yes { inject local } no { } }'],
    ["in a routine", "do block"],
    ["in the answer to an event", 'stage s {\n task "T"\n when block-ready once {\n inject local\n }\n }'],
  ])("a block that is injected %s is one", (_, steps) => {
    const agents = 'event block-ready "Ready for the block"';
    const parts = {
      agents,
      doses: LOCAL,
      steps: `${steps}\n ${RELEASE}`,
      more: "routine block {\n inject local\n }",
    };
    expect(small("block-not-injected", parts).verdict).toBe("holds");
  });

  test("is not decided where an earlier finding ends the runs", () => {
    const parts = { doses: LOCAL, steps: `deflate all\n inject local\n ${RELEASE}` };
    expect(small("inject-before-occlusion", parts).verdict).toBe("broken");
    expect(small("block-not-injected", parts).verdict).not.toBe("broken");
  });
});

describe("adrenaline and its like in the syringe", () => {
  const mixed = (name: string, more: string) => ({
    agents: `agent ${name} {\n ${more}\n concentration 1 mg/mL\n maximum 1 mg\n}`,
    doses: injected("local", "lidocaine", "2 mg/kg", `with ${name} 0.1 mg`),
    steps: "inject local",
  });

  test.each([
    ["adrenaline", "kind adjuvant"],
    ["epinephrine", "kind adjuvant"],
    ["adrenaline-dilute", "kind rescue"],
    ["noradrenaline", "kind adjuvant"],
    ["norepinephrine", ""],
    ["phenylephrine", "kind local-anaesthetic"],
    ["felypressin", "kind adjuvant"],
    ["drawer", 'kind adjuvant\n atc "C01CA24"'],
    ["drawer", 'kind adjuvant\n atc "H01BA05"'],
  ])("%s (%s) makes it one that is not plain", (name, more) => {
    expect(small("agent-not-plain", mixed(name, more)).findings).toHaveLength(1);
  });

  test("another drug does not, nor adrenaline that is given for rescue", () => {
    expect(small("agent-not-plain", mixed("ketorolac", 'kind adjuvant\n atc "M01AB15"')).findings).toEqual(
      [],
    );
    const rescue = {
      agents: "agent adrenaline {\n kind rescue\n concentration 0.1 mg/mL\n maximum 1 mg\n}",
      doses: `${LOCAL}\n${injected("arrest", "adrenaline", "0.1 mg")}`,
      steps: "inject local\n give arrest",
    };
    expect(small("agent-not-plain", rescue).findings).toEqual([]);
  });
});

describe("three agents that name and code tie together are one drug, whichever is met first", () => {
  const agents = [
    'lidocaine-vial {\n  atc "N01BB02"',
    "prilocaine-vial {",
    'prilocaine-bag {\n  atc "N01BB02"',
  ].map((head) => `agent ${head}\n  kind local-anaesthetic\n  concentration 1 %\n  maximum 4 mg/kg\n}`);

  test.each([
    ["lidocaine-vial", "prilocaine-vial", "prilocaine-bag"],
    ["lidocaine-vial", "prilocaine-bag", "prilocaine-vial"],
    ["prilocaine-vial", "lidocaine-vial", "prilocaine-bag"],
    ["prilocaine-vial", "prilocaine-bag", "lidocaine-vial"],
    ["prilocaine-bag", "lidocaine-vial", "prilocaine-vial"],
    ["prilocaine-bag", "prilocaine-vial", "lidocaine-vial"],
  ])("%s, %s, %s", (...order) => {
    const parts = {
      agents: agents.join("\n"),
      withoutFormulary: true,
      doses: order.map((drug, at) => injected(`part-${at}`, drug, "1.5 mg/kg")).join("\n"),
      steps: order.map((_, at) => `inject part-${at}`).join("\n"),
    };
    expect(small("cumulative-dose-over-maximum", parts).verdict).toBe("broken");
    expect(small("combined-anaesthetics-over-maximum", parts).verdict).toBe("holds");
  });
});
