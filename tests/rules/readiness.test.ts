import { expect, test } from "vitest";
import { judged, patientsOf } from "./judged-sections.ts";
import { small } from "./small-protocol.ts";

interface Rescue {
  readonly bolus?: string;
  readonly over?: string;
  readonly repeat?: string;
  readonly rate?: string;
  readonly total?: string;
  readonly give?: string;
}

/** An emergency with the UK scheme, but for what is given. */
function emergency(rescue: Rescue): string {
  return `emergency toxicity {
  dose lipid-bolus of lipid-emulsion {
    amount ${rescue.bolus ?? "1.5 mL/kg"}
    ${rescue.over ?? "over 1 min"}
    ${rescue.repeat ?? "repeat 2 times every 5 min"}
  }
  dose lipid-infusion of lipid-emulsion {
    ${rescue.rate ?? "rate 15 mL/kg/h"}
    ${rescue.total ?? "total up to 12 mL/kg"}
  }
  task help "Help"
  task oxygen "Oxygen"
  task seizure "Stop the seizure"
  task arrest "Resuscitate"
  ${rescue.give ?? "give lipid-bolus"}
  give lipid-infusion
  task cuff-decision "The anaesthetist decides" takes 10 s to 5 min
}
`;
}

/** The findings of rescue-dose-differs: severity and what is said. */
function differences(rescue: Rescue): string[] {
  return judged("rescue-dose-differs", emergency(rescue)).findings.map(
    ({ severity, what }) => `${severity}: ${what}`,
  );
}

const US: Rescue = {
  bolus: "by weight {\n under 70 kg 1.5 mL/kg\n 70 kg and over 100 mL\n }",
  over: "over 2 min to 3 min",
  repeat: "repeat 1 times every 5 min",
  rate: "rate by weight {\n under 70 kg 0.25 mL/kg/min\n 70 kg and over 15 mL/min\n }",
};

test("at 70 kg, which the US scheme leaves open, both of its values pass", () => {
  expect(differences(US)).toEqual([]);
  const other = { ...US, bolus: "by weight {\n 70 kg and under 1.5 mL/kg\n over 70 kg 100 mL\n }" };
  expect(differences(other)).toEqual([]);
});

test("a rate may run as fast as 250 mL in 15 min over 70 kg, and 5 % faster, but no more", () => {
  const at = (rate: string) =>
    differences({
      ...US,
      rate: `rate by weight {\n under 70 kg 0.25 mL/kg/min\n 70 kg and over ${rate}\n }`,
    });
  expect(at("1050 mL/h")).toEqual([]);
  expect(at("1051 mL/h")).toEqual([expect.stringContaining("more for over 70 kg to 130 kg")]);
  expect(at("712 mL/h")).toEqual([expect.stringContaining("less for 70 to 130 kg")]);
});

test("a difference of 5 % is rounding, a little more is not", () => {
  expect(differences({ bolus: "1.425 mL/kg" })).toEqual([]);
  expect(differences({ bolus: "1.42 mL/kg" })).toEqual([
    expect.stringContaining("doubtful: `lipid-bolus` gives less for every patient"),
  ]);
  expect(differences({ total: "total up to 12.7 mL/kg" })).toEqual([
    expect.stringContaining(
      "`lipid-infusion` gives more for every patient; the nearest scheme, the UK one, has 12 mL/kg",
    ),
  ]);
});

test("a fixed bolus is too much for the light and too little for the heavy, and both are named", () => {
  const { findings } = judged("rescue-dose-differs", emergency({ bolus: "105 mL" }));
  expect(findings.map(({ what }) => what)).toEqual([
    expect.stringContaining("less for over about 73.68 kg to 130 kg; more for 45 kg to under about 66.67 kg"),
  ]);
  expect(patientsOf({ findings })).toHaveLength(2);
  expect(findings[0]?.patients?.worst).toEqual({
    patient: "130 kg",
    says: "105 mL, published 195 mL: 46 % less",
  });
});

test("less than half or more than twice of a scheme is unsafe", () => {
  expect(differences({ bolus: "0.15 mL/kg" })[0]).toMatch(/^unsafe:/);
  expect(differences({ rate: "rate 31 mL/kg/h" })[0]).toMatch(/^unsafe:/);
  expect(differences({ bolus: "1 mL/kg" })[0]).toMatch(/^doubtful:/);
});

test.each([
  ["no time to give", { over: "" }, "does not say how long it takes"],
  ["given over 2 min", { over: "over 2 min" }, "is given more slowly"],
  ["repeated after 3 min", { repeat: "repeat 2 times every 3 min" }, "is repeated 2 times, every 3 min"],
  ["not repeated", { repeat: "" }, "is not repeated"],
  ["no total", { total: "" }, "does not say where to stop"],
] as const)("the UK scheme %s differs in that alone", (_what, rescue, says) => {
  expect(differences(rescue)).toEqual([expect.stringContaining(says)]);
});

test("the US scheme repeats the bolus or doubles the infusion, and says neither how often", () => {
  expect(differences({ ...US, repeat: "repeat 3 times every 10 min" })).toEqual([]);
  expect(differences({ ...US, repeat: "" })).toEqual([
    expect.stringContaining("and the infusion not doubled"),
  ]);
});

test("a bolus that steps give again leaves the repeats undecided, not passed", () => {
  const again = emergency({ repeat: "", give: "repeat 3 times {\n give lipid-bolus\n wait 5 min\n }" });
  expect(judged("rescue-dose-differs", again)).toMatchObject({ findings: [], verdict: "not-decided" });
});

test("lipid that an answer gives in place is compared like that of an emergency", () => {
  const doses = emergency({ bolus: "1 mL/kg" }).split("\n").slice(1, 10).join("\n");
  const inPlace =
    "throughout {\n  when toxicity-signs once {\n    give lipid-bolus\n    give lipid-infusion\n  }\n}\n";
  const without = 'emergency toxicity {\n  task help "Help"\n}\n';
  const { findings } = judged("rescue-dose-differs", `${doses}\n${inPlace}${without}`);
  expect(findings.map(({ what }) => what)).toEqual([expect.stringContaining("`lipid-bolus` gives less")]);
});

test("an emergency without lipid leaves nothing to compare, which is no pass", () => {
  const none = 'emergency toxicity {\n  task help "Help"\n}\n';
  expect(judged("rescue-dose-differs", none)).toMatchObject({ findings: [], verdict: "not-decided" });
  expect(judged("toxicity-plan-incomplete", none).findings).toMatchObject([{ severity: "unsafe" }]);
});

test("a lipid emulsion that is not 20 % is unsafe, whatever its volumes are", () => {
  const { findings } = small("rescue-dose-differs", {
    agents: `agent weak-emulsion {
  kind rescue
  atc "B05BA02"
  concentration 10 %
  maximum 12 mL/kg
  source "Formulary"
}`,
    doses: "dose local of lidocaine {\n amount 3 mg/kg up to 200 mg\n over 90 s\n }",
    steps: "inject local",
    more: emergency({}).replaceAll("of lipid-emulsion", "of weak-emulsion"),
  });
  expect(findings).toMatchObject([
    { severity: "unsafe", what: expect.stringContaining("`lipid-bolus` is of a lipid emulsion of 10 %") },
    { severity: "unsafe", what: expect.stringContaining("`lipid-infusion`") },
  ]);
});

const PREPARED = {
  access: "iv-access other-limb",
  monitoring: "monitoring ecg, spo2, nibp every 5 min",
  rescue: "at-hand lipid-emulsion",
  staff: "staff 2",
  mark: "site-marked",
};

function prepared(changes: Partial<typeof PREPARED>) {
  const lines = Object.values({ ...PREPARED, ...changes }).map((line) => `  ${line}`);
  return judged("nothing-prepared", `prepare {\n${lines.join("\n")}\n}\n`);
}

test.each([
  ["unsafe", { access: "" }, "a cannula in another limb"],
  ["unsafe", { staff: "staff 1" }, "2 people, not 1"],
  ["unsafe", { rescue: "at-hand lidocaine" }, "a lipid emulsion at hand"],
  ["doubtful", { mark: "" }, "the mark on the site"],
  [
    "doubtful",
    { monitoring: "monitoring nibp" },
    "an ECG, pulse oximetry, blood pressure at least every 5 min.",
  ],
  ["doubtful", { monitoring: "monitoring ecg, spo2\n  monitoring nibp every 6 min" }, "not every 6 min"],
] as const)("it is %s when something lacks: %o", (severity, changes, says) => {
  expect(prepared(changes).findings).toMatchObject([{ severity, what: expect.stringContaining(says) }]);
});

test("what is prepared is not decided while a line of it is not understood", () => {
  expect(prepared({ rescue: "at-hand lipid-emulson" })).toMatchObject({
    findings: [],
    verdict: "not-decided",
  });
  expect(prepared({ access: "iv-acces other-limb" })).toMatchObject({ findings: [], verdict: "not-decided" });
});

test("a plan that is there but misspelt is not decided, not absent", () => {
  const throughout = "throughout {\n  when toxicity-signs {\n    go to emergency toxicty\n  }\n}\n";
  expect(judged("no-toxicity-plan", throughout)).toMatchObject({ findings: [], verdict: "not-decided" });
});

test("a plan may do more before it goes to the emergency, but must come there whatever is answered if it can be used up", () => {
  const plan = (count: string, no: string) =>
    judged(
      "no-toxicity-plan",
      `throughout {\n  when toxicity-signs ${count} {\n    ask "Severe?" {\n      yes { go to emergency toxicity }\n      no { ${no} }\n    }\n  }\n}\n`,
    );
  expect(plan("", "watch 5 min").verdict).toBe("holds");
  expect(plan("once", "go to emergency toxicity").verdict).toBe("holds");
  expect(plan("once", "watch 5 min").verdict).toBe("broken");
  expect(plan("not before 1 min", "watch 5 min").verdict).toBe("broken");
});

test("an event that the protocol's own file declares needs an answer, a shared one does not", () => {
  const protocol = `use "formulary.limb"
event power-failure "The cuff's inflator has no power"
protocol small "Small" {
  version 0.1.0
  status draft
  patients {
    age 16 to 85 years
    weight 45 to 130 kg
    systolic 90 to 180 mmHg
  }
  cuffs proximal on upper-arm {
    pressure 250 mmHg
    ceiling 300 mmHg
  }
  dose local of lidocaine {
    amount 3 mg/kg up to 200 mg
    over 90 s
  }
  steps {
    inflate proximal
    confirm proximal
    inject local
    recovery 30 min
  }
}
`;
  expect(judged("event-left-unhandled", protocol).findings).toMatchObject([
    { origin: { start: { line: 2 } }, what: expect.stringContaining("`power-failure`") },
  ]);
});

test("a condition is decided by any of three words, and allowing needs a reason", () => {
  const decided = (line: string) =>
    judged(
      "condition-not-decided",
      `patients {\n  age 16 to 85 years\n  weight 45 to 130 kg\n  systolic 90 to 180 mmHg\n  caution allergy\n  caution vascular-disease\n  caution hypertension\n  ${line}\n}\n`,
    ).findings.map(({ what }) => what);
  expect(decided("caution sickle-cell")).toEqual([]);
  expect(decided('allowed sickle-cell because "No evidence of harm"')).toEqual([]);
  expect(decided("allowed sickle-cell")).toEqual(["`sickle-cell` is allowed without a reason."]);
  expect(decided('contraindicated "Sickle cell disease"')).toEqual([
    "The protocol does not decide on `sickle-cell`.",
  ]);
});

test("what stands after the end of an emergency counts as missing", () => {
  const ended = emergency({ give: "finish\n  give lipid-bolus" });
  expect(judged("toxicity-plan-incomplete", ended).findings[0]?.what).toMatch(
    /a bolus of lipid emulsion; an infusion of lipid emulsion; who decides/,
  );
  const asked = emergency({ give: 'ask "Still unstable?" { yes { give lipid-bolus } no { finish } }' });
  expect(judged("toxicity-plan-incomplete", asked).verdict).toBe("holds");
});

test("a `when` without steps answers nothing", () => {
  const stage = "steps {\n  stage procedure {\n    when tourniquet-pain once {\n    }\n  }\n}";
  expect(judged("event-left-unhandled", stage).verdict).toBe("broken");
});

test("a condition that is both refused and allowed is an error", () => {
  const patients = (second: string) =>
    `patients {\n  age 16 to 85 years\n  weight 45 to 130 kg\n  systolic 90 to 180 mmHg\n  contraindicated allergy "Amides"\n  ${second}\n}`;
  expect(judged("statement-twice", patients('allowed allergy because "Mild"')).findings[0]?.what).toBe(
    "`allergy` is decided twice, as `contraindicated` and as `allowed`.",
  );
  expect(judged("statement-twice", patients('contraindicated allergy "Esters"')).verdict).toBe("holds");
});
