import { describe, expect, test } from "vitest";
import { injected, small } from "./small-protocol.ts";

interface Words {
  readonly name?: string;
  readonly title?: string;
  readonly diluent?: string;
  readonly atc?: string;
}

/** What is said of lidocaine that the formulary calls plain, with such words beside it. */
function labelsOf({ name = "lidocaine", title, diluent, atc = "N01BB02" }: Words): string[] {
  const { findings } = small("agent-not-plain", {
    withoutFormulary: true,
    agents: `agent ${name} ${title === undefined ? "" : `"${title}"`} {
      kind local-anaesthetic
      atc "${atc}"
      concentration 0.5 %
      ${diluent === undefined ? "" : `diluted with "${diluent}"`}
      plain
      preservative-free
      maximum 3 mg/kg
      source "Test"
    }`,
    doses: injected("local", name, "20 mL"),
    steps: "inject local",
  });
  return findings.map(({ severity, label }) => `${severity}: ${label}`);
}

describe("words of the formulary that say what is in the solution", () => {
  test.each<[string, Words, string]>([
    ["a title", { title: "Lidocaine 1 % with epinephrine" }, '"epinephrine" in its title'],
    ["a title with a share", { title: "Lidocaine 1 %, 1:200,000" }, '"1:200,000" in its title'],
    [
      "a title that denies another thing",
      { title: "Lidocaine 1 % without preservative, with adrenaline" },
      '"adrenaline" in its title',
    ],
    ["a title of potassium", { title: "Lidocaine, potassium chloride" }, '"potassium" in its title'],
    [
      "a title with a preservative",
      { title: "Lidocaine with methylparaben" },
      '"methylparaben" in its title',
    ],
    ["a name", { name: "lidocaine-adrenaline" }, '"adrenaline" in its name'],
    ["a diluent", { diluent: "Adrenaline 5 mcg/mL in saline" }, '"Adrenaline" in what it is diluted with'],
    ["a diluent of potassium", { diluent: "KCl 0.3 %" }, '"KCl" in what it is diluted with'],
    [
      "a diluent with a preservative",
      { diluent: "bacteriostatic saline 0.9 %" },
      '"bacteriostatic" in what it is diluted with',
    ],
    ["a code", { atc: "N01BB52" }, "a combination, by its code"],
  ])("are found: %s", (_, words, label) => {
    expect(labelsOf(words)).toEqual([`unsafe: ${label}`]);
  });

  test.each<[Words]>([
    [{ title: "Lidocaine 0.5 %, plain" }],
    [{ title: "Lidocaine without adrenaline" }],
    [{ title: "Lidocaine, no adrenaline or parabens" }],
    [{ title: "Lidocaine, adrenaline-free and preservative free" }],
    [{ title: "Lidocaine (not with adrenaline)" }],
    [{ diluent: "saline 0.9 %" }],
    [{ diluent: "sodium chloride 0.9 %, without preservative" }],
    [{ diluent: "Ringer's lactate" }],
    [{ diluent: "water for injection" }],
  ])("are no alarm where they deny it: %o", (words) => {
    expect(labelsOf(words)).toEqual([]);
  });
});
