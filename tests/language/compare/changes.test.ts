import {
  CHANGE_KINDS,
  type Change,
  type ChangeEvidence,
  changeList,
  isUndecided,
} from "@limbwright/language";
import { expect, test } from "vitest";
import { EDITS } from "./edits.ts";
import { comparedFile, edited, exampleText, line, lines, WRIST } from "./two-versions.ts";

test.each(EDITS)("$says: $kind, and the $raises number", ({ from, to, kind, raises }) => {
  const { changes, outcome, version } = edited(from, to);
  const kinds = CHANGE_KINDS.filter((one) => changes.some((change) => change.kind === one));
  const strongest = changes.some((change) => change.kind === "looser")
    ? "looser"
    : kinds.find((one) => changes.some((change) => change.kind === one && change.part !== "verdict"));
  expect({ strongest: strongest ?? outcome, needed: version.needed }).toEqual({
    strongest: kind,
    needed: raises,
  });
  expect(changes.flatMap(unlikeItsPage)).toEqual([]);
});

/** Nothing where the page of the change's code names its kind, with the number that it asks for. */
function unlikeItsPage({ code, kind, raises, part }: Change): string[] {
  const page = changeList.find((one) => one.code === code);
  const isOfPart = page?.part === part || page?.part === "steps" || page?.part === "document";
  const isNamed = page?.kinds.some((one) => one.kind === kind && one.raises === raises);
  return isOfPart && isNamed ? [] : [`${part}: ${code} is ${kind} and asks for the ${raises} number`];
}

test("each edit is told in sentences that name what is otherwise, for whom and by how much", async () => {
  const told = EDITS.map(({ says, from, to }) => {
    const { changes } = edited(from, to);
    return [`# ${says}`, ...changes.flatMap(linesOf), ...(changes.length === 0 ? ["nothing"] : [])].join(
      "\n",
    );
  });
  await expect(`${told.join("\n\n")}\n`).toMatchFileSnapshot("../../golden/comparison/edits.txt");
});

function linesOf(change: Change): string[] {
  return [line(change), ...change.evidence.map((one) => `    ${evidenceText(one)}`)];
}

function evidenceText(one: ChangeEvidence): string {
  switch (one.kind) {
    case "value":
      return `${one.side}: ${one.says}`;
    case "run": {
      const last = one.run.lines.at(-1);
      return `${one.side}: ${last?.time} ${last?.what}. ${one.other}`;
    }
    case "patients": {
      const { example } = one;
      const shown = example ? ` (${example.patient}: ${example.before}, now ${example.now})` : "";
      return `${one.side}: ${one.direction}: ${one.ranges.join("; ")}${shown}`;
    }
  }
}

test("a formulary that changes shows in a protocol whose own file did not", () => {
  const file = "formulary.limb";
  const now = { [file]: exampleText(file).replace("maximum       4 mg/kg", "maximum       5 mg/kg") };
  const first = comparedFile(WRIST, {}, now).changes.find(({ code }) => code === "drug-maximum");
  expect(first && line(first)).toBe(
    "looser drug: The maximum of `lidocaine` (mg) is 5 mg/kg, 3 mg/kg for age 15 years and under, 300 mg now; before, 4 mg/kg, 3 mg/kg for age 15 years and under, 300 mg.",
  );
  expect(first?.now?.origin.file).toBe(file);
});

test("a routine that changes shows in a protocol that only calls it", () => {
  const file = "routines.limb";
  const now = { [file]: exampleText(file).replace("watch 1 min", "watch 30 s") };
  expect(lines(comparedFile(WRIST, {}, now)).filter((one) => one.startsWith("looser"))).toEqual([
    "looser runs: Steps may come at times at which they could not before. Steps may no longer come at times at which they could before.",
    "looser steps: The time of `watch` is 30 s now; before, 1 min.",
  ]);
});

test("local rules that change show in the protocols that are judged by them", () => {
  const file = "local-rules.limb";
  const text = exampleText(file);
  const now = { [file]: text.replace("75 mmHg", "70 mmHg").replace("action-time 75 s", "action-time 60 s") };
  expect(lines(comparedFile(WRIST, {}, now))).toEqual([
    "looser local-rules: `pressure-margin-too-small.margin` is 70 mmHg now; before, 75 mmHg.",
    "looser local-rules: `action-time` is 60 s now; before, 75 s.",
    "different verdict: The proof leans on this now: an action of the team never takes more than 1 min; before: an action of the team never takes more than 75 s.",
    "tighter runs: Steps may no longer come at times at which they could before.",
  ]);
});

test("an acceptance that is new or prolonged is looser, one that is taken back or ends earlier tighter", () => {
  const file = "local-rules.limb";
  const text = exampleText(file);
  const ankle = "protocols/ankle-reduction.limb";
  const told = (changed: string) =>
    lines(comparedFile(ankle, {}, { [file]: changed })).filter((one) => one.includes("local-rules"));
  expect(told(text.replace("2027-01-31", "2027-06-30"))).toEqual([
    "looser local-rules: What `dose-without-cap` finds is accepted on other terms: dose-without-cap: “Box ends at 66 kg”, Pharmacy, until 2027-06-30; before, dose-without-cap: “Box ends at 66 kg”, Pharmacy, until 2027-01-31.",
  ]);
  expect(told(text.replace("2027-01-31", "2026-12-31"))[0]).toMatch(/^tighter .* on other terms/);
  expect(told(text.replace("Box ends", "The box ends"))[0]).toMatch(/^different .* on other terms/);
  const without = text.slice(0, text.indexOf("  accept")).concat("}\n");
  expect(told(without)).toContain(
    "tighter local-rules: What `dose-without-cap` finds is no longer accepted.",
  );
  expect(
    lines(comparedFile(ankle, { [file]: without }, {})).find((one) =>
      one.includes("`dose-without-cap` finds is"),
    ),
  ).toMatch(/^looser local-rules: What `dose-without-cap` finds is accepted now: /);
});

test("an acceptance up to a higher value, or of another kind, is looser; up to a lower one tighter", () => {
  const file = "local-rules.limb";
  const ankle = "protocols/ankle-reduction.limb";
  const accepting = (what: string, place = "calf in ankle-reduction", second = ' by "Surgery"') => ({
    [file]: exampleText(file).replace(
      /\}\s*$/,
      `  accept occlusion-too-long of ${place} ${what} because "Tendons" by "Lead"${second} until 2027-01-31\n}\n`,
    ),
  });
  const told = (before: string, now: string) => toldBetween(accepting(before), accepting(now));
  const toldBetween = (before: ReturnType<typeof accepting>, now: ReturnType<typeof accepting>) =>
    lines(comparedFile(ankle, before, now))
      .filter((one) => one.includes("`occlusion-too-long` finds"))
      .map((one) => one.replace(/:.*/, ""));
  expect(told("up to 75 min", "up to 80 min")).toEqual(["looser local-rules"]);
  expect(told("up to 75 min", "up to 70 min")).toEqual(["tighter local-rules"]);
  expect(told("up to 75 min", "up to 1.25 h")).toEqual(["different local-rules"]);
  const everywhere = accepting("up to 75 min", "calf");
  expect(toldBetween(everywhere, accepting("up to 75 min"))).toEqual(["looser local-rules"]);
  const byOne = accepting("up to 75 min", "calf in ankle-reduction", "");
  expect(toldBetween(byOne, accepting("up to 75 min"))).toEqual(["looser local-rules"]);
  expect(toldBetween(accepting("up to 75 min"), byOne)).toEqual(["tighter local-rules"]);
  expect(
    lines(comparedFile(ankle, {}, accepting("up to 75 min"))).find((one) =>
      one.includes("occlusion-too-long"),
    ),
  ).toMatch(/^looser local-rules: .*accepted now: occlusion-too-long of “calf” up to 75 min: /);
});

test("an answer for a maximum that is new, higher or for longer is looser", () => {
  const file = "local-rules.limb";
  const text = exampleText(file);
  const hand = "protocols/hand-laceration.limb";
  const [, limit = "", until = ""] =
    /answer maximum of ketorolac (\S+ mg)[\s\S]*? until (\S+)/.exec(text) ?? [];
  const told = (from: string, to: string) =>
    lines(
      comparedFile(
        hand,
        {},
        { [file]: text.replace(/answer maximum[\s\S]*$/, (all) => all.replace(from, to)) },
      ),
    ).find((one) => one.includes("local-rules: The maximum of `ketorolac`"));
  expect(told(limit, "25 mg")).toMatch(/^tighter .* on other terms/);
  expect(told(limit, "60 mg")).toMatch(/^looser .* on other terms/);
  expect(told(until, "2026-12-31")).toMatch(/^tighter .* on other terms/);
  expect(told('because "', 'because "So ')).toMatch(/^different .* on other terms/);
});

test("what is no longer safe is told first, beside the change that makes it so", () => {
  expect(edited("at least 30 min", "at least 20 min").changes[0]?.kind).toBe("no-longer-safe");
  expect(lines(edited("at least 30 min", "at least 20 min"))).toContain(
    "no-longer-safe verdict: `early-release` finds something unsafe now; before, it held. `deflate all for 10 s` can let the last cuff down 20:00 after `local`, 10:00 too early; 30 min is the least.",
  );
});

test("what is found now is said once, and marked where it stands", () => {
  const [change] = edited("at least 30 min", "at least 20 min").changes;
  expect(change?.what).toContain("10:00 too early; 30 min is the least.");
  expect(change?.now?.says).toBe("10:00 too early");
});

test("the times over all runs are told for both versions", () => {
  expect(edited("at least 30 min", "at least 20 min").times).toEqual([
    { what: "Earliest release after the injection", before: "30:00", now: "20:00", kind: "looser" },
    { what: "Latest release after the injection", before: "near 46:00", now: "near 46:00", kind: "same" },
    { what: "Shortest occlusion", before: "33:50", now: "23:50", kind: "looser" },
    { what: "Longest occlusion", before: "near 57:05", now: "near 57:05", kind: "same" },
  ]);
});

test.each([
  ["1.4.0", "2.0.0", "first"],
  ["1.4.0", "1.5.0", "second"],
  ["1.4.0", "1.4.1", "third"],
  ["1.4.0", "1.4.0", "none"],
  ["1.4.0", "1.3.9", "lowered"],
])("from version %s to %s the %s number is raised", (before, now, raised) => {
  const text = exampleText(WRIST);
  const old = text.replace("1.4.0", before);
  const recent = text.replace("1.4.0", now).replace("up to 200 mg", "up to 150 mg");
  const { version } = comparedFile(WRIST, { [WRIST]: old }, { [WRIST]: recent });
  expect(version).toEqual({
    before,
    now,
    needed: "second",
    raised,
    isEnough: raised === "first" || raised === "second",
  });
});

test("a drug that neither side knows is not told as another one", () => {
  const unknown = { [WRIST]: exampleText(WRIST).replace("local of lidocaine", "local of lignocain") };
  const comparison = comparedFile(WRIST, unknown, unknown);
  expect(isUndecided(comparison)).toBe(true);
  expect(comparison.changes.filter(({ code }) => code === "dose-drug").map(({ what }) => what)).toEqual([
    "The drug of `local` is known on neither side, so nobody can say whether it is the same.",
  ]);
});
