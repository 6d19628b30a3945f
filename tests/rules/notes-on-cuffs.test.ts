import { describe, expect, test } from "vitest";
import { checkExample } from "./page-examples.ts";

const RULE = "text-names-other-cuff";

/** Labels of the findings on a plan with notes on its cuff steps; the cuffs are proximal "grey" and distal "white". */
function found(steps: string, handler = ""): string[] {
  const sections = `cuffs proximal "grey", distal "white" on upper-arm {
  pressure greater of systolic + 100 mmHg and 250 mmHg
  ceiling  300 mmHg
  fits     25 to 40 cm
}
routine both {
  inflate distal
  confirm distal
}
steps {
  apply cuffs
  insert cannula
  exsanguinate by elevation 1 min
  ${steps}
  inject local
  stage procedure {
    task "Reduce" takes 5 min to 15 min
    ${handler}
  }
  wait for hold
  deflate all
  recovery 30 min
}`;
  const { check } = checkExample(sections, { about: [RULE] });
  expect(check.findings.filter(({ severity }) => severity === "error")).toEqual([]);
  return check.findings.filter(({ rule }) => rule === RULE).map(({ label }) => label);
}

const BOTH = "inflate all\n  confirm all";

describe("a note on a step of one cuff", () => {
  test.each([
    "The grey one",
    "Grey cuff down",
    "grey",
    "Turn the tap of the grey",
    "Proximal cuff, slowly",
    "Slowly; the Grey tubing",
  ])("names the other: %s", (note) => {
    expect(found(`${BOTH}\n  deflate distal "${note}"`)).toEqual(["the other cuff"]);
  });

  test("names the other at an inflation, a confirmation, in an answer to pain and in one branch", () => {
    expect(found('inflate proximal "White cuff"\n  confirm proximal')).toEqual(["the other cuff"]);
    expect(found('inflate proximal\n  confirm proximal "Feel the white one"')).toEqual(["the other cuff"]);
    const swap = 'when tourniquet-pain once {\n do both\n deflate proximal "The white one"\n }';
    expect(found("inflate proximal\n  confirm proximal", swap)).toEqual(["the other cuff"]);
    const branch = `${BOTH}\n  ask "Firm?" {\n yes {\n deflate distal "The grey one"\n }\n no {\n deflate distal\n }\n }`;
    expect(found(branch)).toEqual(["the other cuff"]);
  });

  test.each([
    "The white one",
    "White down, the grey one stays up",
    "The grey one stays up",
    "Only after the grey cuff is confirmed",
    "Fingers go white or grey",
    "No pulse distal to it",
    "Slowly",
  ])("does not: %s", (note) => {
    expect(found(`${BOTH}\n  deflate distal "${note}"`)).toEqual([]);
  });

  test("of all cuffs names any", () => {
    expect(found('inflate all "First the grey one"\n  confirm all')).toEqual([]);
  });
});
