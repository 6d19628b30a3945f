import { describe, expect, test } from "vitest";
import { ruled } from "../language/runs/broken-rules.ts";

const RULE = "swap-onto-unconfirmed";
const HELD =
  "insert cannula\nexsanguinate by elevation 1 min\ninflate proximal\nconfirm proximal\ninject local\nwait 10 min";
const RELEASE = "wait 30 min\ndeflate all\nrecovery 30 min";

function isFound(steps: string, more = ""): boolean {
  return ruled({ steps, more }).broken.includes(RULE);
}

describe("a swap onto a cuff that nobody has confirmed is found", () => {
  test.each([
    ["in the plan", "inflate distal\ndeflate proximal"],
    ["after a while", "inflate distal\nwait 5 min\ndeflate proximal"],
    ["confirmed too late", "inflate distal\ndeflate proximal\nconfirm distal"],
    ["where the other one is confirmed again", "inflate distal\nconfirm proximal\ndeflate proximal"],
    [
      "confirmed before it came up anew",
      "inflate distal\nconfirm distal\ndeflate distal\ninflate distal\ndeflate proximal",
    ],
    [
      "after a confirmation that may fail",
      "inflate distal\nconfirm distal else {\nwait 1 min\n}\ndeflate proximal",
    ],
    [
      "after one that fails, and then is tried once more",
      "inflate distal\nconfirm distal else {\nconfirm distal else {\n}\n}\ndeflate proximal",
    ],
    [
      "in one branch of a question",
      'inflate distal\nask "Firm?" {\nyes {\n}\nno {\nconfirm distal\n}\n}\ndeflate proximal',
    ],
    ["by a routine", "do swap"],
    [
      "in a handler",
      "stage work {\nwait 5 min\nwhen tourniquet-pain once {\ninflate distal\ndeflate proximal\n}\n}",
    ],
    ["in an emergency", "stage work {\nwait 5 min\nwhen tourniquet-pain {\ngo to emergency sore\n}\n}"],
  ])("%s", (_, steps) => {
    const more = `routine swap {\ninflate distal\ndeflate proximal\n}\nemergency sore "Sore" {\ninflate distal\ndeflate proximal\n${RELEASE}\n}`;
    expect(isFound(`${HELD}\n${steps}\n${RELEASE}`, more)).toBe(true);
  });

  test("while the drug is still being injected", () => {
    const leading = `insert cannula\ninflate all\nconfirm proximal\nstage giving {\ninject local\nwhen rain once {\ndeflate proximal\n}\n}`;
    expect(isFound(`${leading}\n${RELEASE}`)).toBe(true);
  });
});

describe("no false alarm", () => {
  test.each([
    ["for a swap as it is taught", `${HELD}\ninflate distal\nconfirm distal\ndeflate proximal`],
    [
      "where the confirmation is repeated until it is so",
      `${HELD}\ninflate distal\nconfirm distal else {\ninflate distal\nconfirm distal\n}\ndeflate proximal`,
    ],
    [
      "where a failed confirmation does not come to the swap",
      `${HELD}\nstage swap {\ninflate distal\nconfirm distal else {\nend stage\n}\ndeflate proximal\n}`,
    ],
    [
      "for both up and confirmed, and the distal one let down later",
      `insert cannula\ninflate all\nconfirm all\ninject local\nwait 10 min\ndeflate distal`,
    ],
    [
      "for a test of the cuffs before anything is injected",
      `inflate distal\ninflate proximal\ndeflate distal\nwait 1 min\n${HELD}`,
    ],
    [
      "for the cuff that nobody confirmed and that goes down again",
      `insert cannula\ninflate all\nconfirm proximal\ninject local\ndeflate distal`,
    ],
  ])("%s", (_, steps) => {
    expect(isFound(`${steps}\n${RELEASE}`)).toBe(false);
  });

  test("once the drug is released", () => {
    const stages =
      "wait 30 min\ninflate distal\nconfirm distal\ndeflate all for 10 s\ndeflate proximal\ndeflate distal";
    expect(isFound(`${HELD}\n${stages}\nrecovery 30 min`)).toBe(false);
  });
});
