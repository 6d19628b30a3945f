import { compareSites, type PatientsConcerned, type ProtocolComparison } from "@limbwright/language";
import { rational } from "@limbwright/shared/quantity";
import { expect, test } from "vitest";
import type { Protocol } from "../../../language/model/index.ts";
import { evaluate } from "../../../language/population/index.ts";
import { randomFrom } from "../../solver/random.ts";
import { exampleText, ON, siteOf, WRIST } from "./two-versions.ts";

const AMOUNTS = [
  "3 mg/kg up to 200 mg",
  "2 mg/kg up to 250 mg",
  "3 mg/kg up to 250 mg",
  "4 mg/kg up to 180 mg",
  "150 mg",
  "2 mg/kg + 50 mg",
  "greater of 120 mg and 2 mg/kg",
  "3 mg/kg up to 200 mg rounded down to 10 mg",
];

const SITES = AMOUNTS.map((amount) =>
  siteOf({ [WRIST]: exampleText(WRIST).replace("3 mg/kg up to 200 mg", amount) }),
);

function compared(before: number, now: number): ProtocolComparison {
  const side = (at: number) => ({ site: SITES[at] ?? siteOf({}), files: [WRIST], name: AMOUNTS[at] ?? "" });
  const [first] = [...compareSites(side(before), side(now), { on: ON })];
  if (!first) throw new Error("no protocol");
  return first.comparison;
}

function given(at: number, weight: string): number {
  const [protocol] = SITES[at]?.file(WRIST)?.protocols ?? [];
  const mass = (protocol as Protocol).doses.find(({ name }) => name === "local")?.mass;
  if (!mass) throw new Error("no dose");
  return evaluate(mass, { weight: rational(weight) })?.valueOf() ?? Number.NaN;
}

/** The weight of the patient who is shown to be given more. */
function weightOf({ changes }: ProtocolComparison): string | undefined {
  const evidence = changes.flatMap((change) => (change.part === "dose" ? change.evidence : []));
  const more = evidence.find(
    (one): one is PatientsConcerned => one.kind === "patients" && one.side === "looser",
  );
  return /^([\d.]+) kg/.exec(more?.example?.patient ?? "")?.[1];
}

test("who is given more by a first step, and still is after a second, is not hidden by taking both at once", {
  timeout: 120_000,
}, () => {
  const random = randomFrom(7);
  const triples = Array.from(
    { length: 12 },
    () => [0, 1, 2].map(() => random.below(AMOUNTS.length)) as [number, number, number],
  );
  let shown = 0;
  for (const [a, b, c] of triples) {
    const weight = weightOf(compared(a, b));
    if (weight === undefined || given(c, weight) <= given(a, weight)) continue;
    shown += 1;
    const whole = compared(a, c).changes.filter(({ part }) => part === "dose");
    expect(whole.map(({ kind }) => kind)).toContain("looser");
  }
  expect(shown).toBeGreaterThan(2);
});

test.each(AMOUNTS)("%s: a comparison says of every whole weight what the two amounts are", (amount) => {
  const at = AMOUNTS.indexOf(amount);
  const weights = Array.from({ length: 86 }, (_, kg) => `${45 + kg}`);
  const isMore = weights.some((weight) => given(at, weight) > given(0, weight));
  const isLess = weights.some((weight) => given(at, weight) < given(0, weight));
  const evidence = compared(0, at).changes.flatMap((change) =>
    change.part === "dose" ? change.evidence : [],
  );
  const sides = evidence.map((one) => (one.kind === "patients" ? one.side : one.kind));
  expect(sides).toEqual([...(isMore ? ["looser"] : []), ...(isLess ? ["tighter"] : [])]);
});
