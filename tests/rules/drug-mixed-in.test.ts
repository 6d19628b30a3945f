import { catalogue } from "@limbwright/language";
import { describe, expect, test } from "vitest";
import { PUBLISHED } from "../../language/rules/facts/mixed-in-drugs.ts";
import { injected, small } from "./small-protocol.ts";

interface Mixed {
  readonly name?: string;
  readonly title?: string;
  readonly atc?: string;
  readonly kind?: string;
  readonly amount: string;
}

function agentText({ name = "extra", title, atc, kind = "adjuvant" }: Mixed): string {
  return `agent ${name} ${title === undefined ? "" : `"${title}"`} {
  kind ${kind}
  ${atc === undefined ? "" : `atc "${atc}"`}
  concentration 1 mg/mL
  maximum 100 g
  source "Test"
}`;
}

/** Severities and labels of what is said of a drug that is mixed in. */
function mixedIn(drug: Mixed): string[] {
  const { name = "extra", amount } = drug;
  const { findings } = small("drug-mixed-in", {
    agents: agentText(drug),
    doses: injected("local", "lidocaine", "30 mL", `with ${name} ${amount}`),
    steps: "inject local",
  });
  return findings.map(({ severity, label }) => `${severity}: ${label}`);
}

describe("what is dangerous behind a cuff is unsafe, whatever kind the formulary makes it", () => {
  test.each([
    ["suxamethonium", "paralyses"],
    ["rocuronium-bromide", "paralyses"],
    ["cisatracurium", "more than the 10 mcg/kg of any trial"],
    ["atracurium", "more than the 3 mg of any trial"],
    ["potassium-chloride", "stops the heart"],
    ["propofol", "an anaesthetic for sleep"],
    ["thiopentone", "an anaesthetic for sleep"],
    ["chlorhexidine", "no drug for a vein"],
    ["lipid-mixture", "a drug for rescue", "rescue"],
    ["methylene-blue", "a drug for rescue"],
    ["suxamethonium", "paralyses", "local-anaesthetic"],
  ])("%s", (name, label, kind = "adjuvant") => {
    expect(mixedIn({ name, kind, amount: "10 mg" })).toEqual([`unsafe: ${label}`]);
  });

  test.each([
    ["M03AB01", "paralyses"],
    ["B05XA01", "stops the heart"],
    ["N01AX10", "an anaesthetic for sleep"],
    ["B05BA02", "a drug for rescue"],
  ])("by its code alone, %s", (atc, label) => {
    expect(mixedIn({ atc, amount: "10 mg" })).toEqual([`unsafe: ${label}`]);
  });

  test("by its title alone", () => {
    expect(mixedIn({ title: "Potassium chloride 15 %", amount: "10 mg" })).toEqual([
      "unsafe: stops the heart",
    ]);
  });

  test("but not by what its title denies", () => {
    expect(
      mixedIn({ name: "ketorolac", title: "Ketorolac, without potassium or alcohol", amount: "10 mg" }),
    ).toEqual([]);
  });

  test("also where its name is that of an accepted drug and its code is another's", () => {
    expect(mixedIn({ name: "ketorolac", atc: "B05XA01", amount: "10 mg" })).toEqual([
      "unsafe: stops the heart",
    ]);
  });

  test("also when it is injected by itself, in a branch or in a handler", () => {
    const drug = { name: "rocuronium", amount: "10 mg" };
    for (const steps of [
      "inject local\ninject relaxed",
      'inject local\nask "Loose enough?" {\nyes { }\nno {\ninject relaxed\n}\n}',
      "inject local\nstage work {\nwait 5 min\nwhen block-incomplete once {\ninject relaxed\n}\n}",
    ]) {
      const { findings } = small("drug-mixed-in", {
        agents: agentText(drug),
        doses: `${injected("local", "lidocaine", "30 mL")}\n${injected("relaxed", "rocuronium", "10 mg")}`,
        steps,
      });
      expect(findings.map(({ label }) => label)).toEqual(["paralyses"]);
    }
  });
});

describe("a drug of which trials are published", () => {
  test.each([
    ["ketorolac", "30 mg"],
    ["clonidine", "100 mcg"],
    ["magnesium-sulfate", "1500 mg"],
    ["fentanyl", "50 mcg"],
    ["ketamine", "25 mg"],
    ["sodium-bicarbonate", "400 mg"],
    ["saline", "10 mg"],
  ])("passes in the amount that was tried: %s %s", (name, amount) => {
    expect(mixedIn({ name, amount })).toEqual([]);
  });

  test.each([
    ["ketamine", "200 mg", "doubtful: more than the 50 mg of any trial"],
    ["midazolam", "5 mg", "doubtful: more than the 50 mcg/kg of any trial"],
    ["ketorolac", "5 mg/kg", "doubtful: more than the 60 mg of any trial"],
    ["atracurium", "2 mg", "doubtful: paralyses"],
  ])("does not pass in more, nor where it paralyses: %s %s", (name, amount, said) => {
    expect(mixedIn({ name, amount })).toEqual([said]);
  });
});

test("any other drug is doubtful, and so is a name with another drug's code", () => {
  expect(mixedIn({ name: "tranexamic-acid", amount: "10 mg" })).toEqual(["doubtful: no published use"]);
  expect(mixedIn({ name: "ketorolac-cocktail", amount: "10 mg" })).toEqual(["doubtful: no published use"]);
  expect(mixedIn({ name: "ketorolac", atc: "B02AA02", amount: "10 mg" })).toEqual([
    "doubtful: no published use",
  ]);
});

test("each published drug names a source that the rule's page quotes", () => {
  const quoted = catalogue.find(({ id }) => id === "drug-mixed-in")?.sources.map(({ source }) => source);
  expect(quoted).toEqual(expect.arrayContaining(PUBLISHED.map(({ source }) => source)));
});
