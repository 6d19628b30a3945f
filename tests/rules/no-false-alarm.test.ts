import { expect, test } from "vitest";
import { checkExample } from "./page-examples.ts";

function foundBy(rule: string, before: string, after: string): string[] {
  const text = `steps {
  apply cuffs
  insert cannula
  ${before}
  inject local
  ${after}
  recovery 30 min
}`;
  const { check } = checkExample(text, { about: [rule] });
  return check.findings.filter((one) => one.rule === rule).map(({ severity }) => severity);
}

const RELEASED = "wait for hold\ndeflate all";
const BOTH = "exsanguinate by elevation 2 min\ninflate all\nconfirm all";

test("a test of both cuffs before the injection, and a wait after it, is no slip of cuffs or times", () => {
  const tried = "inflate all\nconfirm all\ndeflate all\nwait 2 min";
  const earnest = "exsanguinate by elevation 2 min\ninflate proximal\nconfirm proximal";
  for (const rule of [
    "no-cuff-up",
    "early-release",
    "deflation-too-long",
    "inflation-not-needed",
    "wrong-inflation-order",
    "occlusion-too-long",
  ]) {
    expect([rule, foundBy(rule, `${tried}\n${earnest}`, RELEASED)]).toEqual([rule, []]);
  }
});

test("both cuffs up at the injection, the distal one down later, is no swap; the proximal one down at once is", () => {
  expect(foundBy("swap-before-onset", BOTH, `deflate distal\n${RELEASED}`)).toEqual([]);
  expect(foundBy("swap-before-onset", BOTH, `wait 1 min\ndeflate distal\n${RELEASED}`)).toEqual([]);
  expect(foundBy("swap-before-onset", BOTH, `deflate proximal\n${RELEASED}`)).toEqual(["doubtful"]);
});

test("the distal cuff alone at the injection, and then the proximal one instead, is a swap", () => {
  const distal = "exsanguinate by elevation 2 min\ninflate distal\nconfirm distal";
  const swapped = `inflate proximal\nconfirm proximal\ndeflate distal\n${RELEASED}`;
  expect(foundBy("swap-before-onset", distal, swapped)).toEqual(["doubtful"]);
});
