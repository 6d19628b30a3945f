import { expect, test } from "vitest";
import { disagreements, repairsIn } from "./marked-reading.ts";

function dose(amount: string): string {
  return `dose local of lidocaine {\n  amount ${amount}\n  over 90 s to 3 min\n}\n`;
}

test("a number and its unit are one word, with or without a space, so that units stay free as names", () => {
  expect(
    disagreements(`
dose g of lidocaine {
  amount 3mg/kg up to 200 mg
  over   90s to 3 min
}
timer min from end of g {
  at least 30min
}
timer s from end of g {
  at least 30 s
}
steps {
  inject g
  wait for min
  wait for s
}
`),
  ).toEqual([]);
});

test.each([
  ["2,5 mg/kg", "number-badly-written", "`2,5` is read as 2.5."],
  ["0,5 mg/kg", "number-badly-written", "`0,5` is read as 0.5."],
  ["0,500 mg/kg", "number-badly-written", "`0,500` is read as 0.5."],
  ["1,000 mg", "number-badly-written", "`1,000` is read as 1000."],
  ["1,234.5 mg", "number-badly-written", "`1,234.5` is read as 1234.5."],
  ["1 000 mg", "number-badly-written", "`1 000` is read as 1000."],
  ["10\u202f000 mg", "number-badly-written", "is read as 10000."],
  ["1.000,5 mg", "number-badly-written", "can be read in more than one way"],
  ["007 mg", "number-badly-written", "is read as 7."],
  ["5.0 mg", "trailing-zero", "Write `5 mg`."],
  ["2.50 mg", "trailing-zero", "Write `2.5 mg`."],
  ["5. mg", "trailing-zero", "needless point"],
  [".5 mg", "missing-leading-zero", "Write `0.5 mg`."],
  ["5 \u00b5g", "error-prone-unit", "U+00B5"],
  ["5 \u03bcg", "error-prone-unit", "U+03BC"],
  ["5 \u00b5g/kg", "error-prone-unit", "Write `5 mcg/kg`."],
  ["5 cc", "error-prone-unit", "Write `5 mL`."],
  ["500 U", "error-prone-unit", "units of activity"],
  ["5 IU/kg", "error-prone-unit", "IU is misread"],
  ["40 ml", "unit-not-known", "Write `40 mL`."],
  ["40 ML", "unit-not-known", "Write `40 mL`."],
  ["3 mg/lb", "unit-not-known", "not a unit the language knows"],
  ["200", "unit-missing", "has no unit"],
  ["200 mmHg", "unit-mismatch", "but this is a pressure"],
])("`%s` is read and reported as %s", (amount, rule, words) => {
  const carets = "^".repeat(amount.length);
  expect(disagreements(dose(`${amount}\n//       ${carets} ${rule}: ${words}`))).toEqual([]);
});

test("a number and a unit that are both wrong are put right by the same repair", () => {
  expect(repairsIn(dose("5,0 \u00b5g"))).toEqual(["Write 5 mcg", "Write 5 mcg"]);
});

test("a comma is put right only after a look, a needless zero without", () => {
  expect(repairsIn(dose("1,000 mg"), "safety")).toEqual(["needs-a-look"]);
  expect(repairsIn(dose("5.0 mg"), "safety")).toEqual(["safe"]);
});

test("a minus needs a space on both sides", () => {
  expect(
    disagreements(`
cuffs proximal "grey", distal "white" on upper-arm {
  pressure greater of systolic-10 mmHg and 250 mmHg -20 mmHg
//                    ^^^^^^^^^^^^^^^^ number-badly-written: \`systolic - 10 mmHg\`
//                                                  ^ number-badly-written: a space on both sides
  ceiling 300 mmHg
}
`),
  ).toEqual([]);
});

test("a full stop after a unit is named", () => {
  expect(disagreements(dose("200 mg.\n//             ^ text-not-understood: No full stop follows"))).toEqual(
    [],
  );
});

test("only counts and the first number of a range do without a unit", () => {
  expect(
    disagreements(`
patients {
  age      16 to 85 years
  weight   45 to 130
//               ^^^ unit-missing: has no unit
//         ^^ unit-missing: has no unit
  systolic 90 to 180 mmHg
}
prepare {
  staff 2 people
//      ^^^^^^^^ unit-mismatch: takes a number alone, but \`people\` stands after it
}
`),
  ).toEqual([]);
});

test("a version of one or two numbers is completed", () => {
  expect(disagreements("version 1.4\n//      ^^^ version-not-complete: Write `1.4.0`.\n")).toEqual([]);
  expect(disagreements("version 2\n//      ^ version-not-complete: Write `2.0.0`.\n")).toEqual([]);
});

test("dates and versions are read before numbers", () => {
  expect(
    disagreements('version 1.10.2\nreview by 2028-02-29\nstatus approved by "Lead" on 2026-01-31\n'),
  ).toEqual([]);
});

test("times are whole seconds", () => {
  expect(
    disagreements(`
dose local of lidocaine {
  amount 200 mg
  over   90.5 s to 3 min
//       ^^^^^^ value-out-of-range: whole seconds
}
`),
  ).toEqual([]);
});
