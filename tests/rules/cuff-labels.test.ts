import { expect, test } from "vitest";
import { checkExample } from "./page-examples.ts";

const RULE = "cuff-labels-mislead";

/** What the rule finds where cuffs are declared like this. */
function found(declared: string): string[] {
  const text = `cuffs ${declared} on upper-arm {
  pressure greater of systolic + 100 mmHg and 250 mmHg
  ceiling 300 mmHg
  fits 25 to 40 cm
}`;
  const { check } = checkExample(text, { about: [RULE] });
  return check.findings
    .filter(({ rule }) => rule === RULE)
    .map(({ severity, label }) => `${severity}: ${label}`);
}

const cuffs = (proximal: string, distal: string) => `proximal "${proximal}", distal "${distal}"`;

test.each([
  ["left arm", "right arm"],
  ["left", "right"],
  ["L", "R"],
  ["R1", "L1"],
  ["Left (grey)", "RIGHT (white)"],
  ["left arm, gauge 1", "right arm, gauge 2"],
  ["grey, left wrist", "white, right wrist"],
  ["left arm, left gauge", "right arm, left gauge"],
  ["lt. arm", "rt. arm"],
  ["left-hand arm", "right-hand arm"],
])("two labels of two sides are unsafe: %s, %s", (proximal, distal) => {
  expect(found(cuffs(proximal, distal))).toEqual([
    expect.stringMatching(/^unsafe: (left and right|right and left): /),
  ]);
});

test.each([
  ["arm", "leg"],
  ["thigh", "forearm"],
  ["ankle cuff", "wrist cuff"],
  ["calf, grey", "arm, white"],
])("two labels of two limbs are unsafe: %s, %s", (proximal, distal) => {
  expect(found(cuffs(proximal, distal))).toEqual([
    expect.stringMatching(/^unsafe: (an arm and a leg|a leg and an arm): /),
  ]);
});

test("names of cuffs that say it are as unsafe as labels", () => {
  expect(found("left-arm, right-arm")).toHaveLength(1);
  expect(found('left "grey", right "white"')).toHaveLength(1);
  expect(found('left-gauge "grey", right-gauge "white"')).toEqual([]);
});

test.each([
  ["grey", "grey"],
  ["grey", "Grey"],
  ["grey 1", "grey1"],
  ["No. 1", "no 1"],
  ["●", " ● "],
])("one label for both cuffs is unsafe, however it is written: %j, %j", (proximal, distal) => {
  expect(found(cuffs(proximal, distal))).toEqual(["unsafe: the same label as the other cuff"]);
});

test("a label that is the name of the other cuff is unsafe", () => {
  expect(found(cuffs("distal", "proximal"))).toEqual(["unsafe: names the other cuff"]);
  expect(found(cuffs("white", "proximal (grey)"))).toEqual(["unsafe: names the other cuff"]);
  expect(found(cuffs("grey, proximal to distal", "white"))).toEqual([]);
});

test.each([
  ["grey", "white"],
  ["left gauge", "right gauge"],
  ["gauge, left", "gauge, right"],
  ["left port", "right port"],
  ["grey tube, left dial", "white tube, right dial"],
  ["port L", "port R"],
  ["left knob (grey)", "right knob (white)"],
  ["left arm, upper", "left arm, lower"],
  ["left arm, left gauge", "left arm, right gauge"],
  ["upper arm", "forearm"],
  ["hand pump", "foot pump"],
  ["proximal (grey)", "distal (white)"],
  ["1", "2"],
  ["left arm", "white"],
])("labels that tell two cuffs of one limb apart are fine: %s, %s", (proximal, distal) => {
  expect(found(cuffs(proximal, distal))).toEqual([]);
});

test("one cuff, and cuffs without labels, are not accused", () => {
  expect(found('single "left arm"')).toEqual([]);
  expect(found("proximal, distal")).toEqual([]);
});

test.each([
  ["lower", "upper"],
  ["grey, lower", "white, upper"],
  ["grey", "upper"],
  ["bottom cuff", "white"],
  ["grey (low)", "white (high)"],
])(
  "the first of two cuffs is the upper one, so labels the other way round are unsafe: %s, %s",
  (proximal, distal) => {
    expect(found(cuffs(proximal, distal))).toEqual(["unsafe: names the place of the other cuff"]);
  },
);

test("names the other way round are unsafe, too", () => {
  expect(found('lower "grey", upper "white"')).toEqual(["unsafe: names the place of the other cuff"]);
  expect(found('upper "grey", lower "white"')).toEqual([]);
});

test.each([
  ["upper", "lower"],
  ["upper, grey", "white"],
  ["upper arm, grey", "upper arm, white"],
  ["lower gauge", "upper gauge"],
  ["lower arm", "white"],
  ["lower tube", "upper tube"],
])(
  "labels of a place that fits, or that is a limb's or the machine's, are fine: %s, %s",
  (proximal, distal) => {
    expect(found(cuffs(proximal, distal))).toEqual([]);
  },
);

test("one label in either spelling is one label", () => {
  expect(found(cuffs("gray", "Grey"))).toEqual(["unsafe: the same label as the other cuff"]);
  expect(found(cuffs("gray 1", "grey 2"))).toEqual([]);
});
