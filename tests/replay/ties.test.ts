import { describe, expect, test } from "vitest";
import { csvRow } from "../../examples/tarn-hollow/cases/rows.mjs";
import { judgeOf, replayed } from "./replayed.ts";

const judge = judgeOf("injured-arm");

/** In one second: the wait begins, signs of toxicity are seen, and the first steps of the emergency are ticked off one after another. */
const IN_ONE_SECOND = `
  end   remove cannula
  start wait 8 min
  event toxicity-signs
  start task "Stop. Call for help. A cuff that is up stays up."
  end   task "Stop. Call for help. A cuff that is up stays up."
  start task "Oxygen, airway"
  end   task "Oxygen, airway"
  start task "Fitting: stop the seizure"
  end   task "Fitting: stop the seizure"
  start task "No pulse: resuscitate; it may take over an hour"`;

describe("ten things that are told of one second", () => {
  test("are taken in the order that the protocol provides for", () => {
    expect(deviationsOf(IN_ONE_SECOND)).toEqual([]);
  });

  test("are one slip where one step among them is left out", () => {
    const withoutOxygen = IN_ONE_SECOND.replace(/.*Oxygen.*\n/g, "");
    expect(withoutOxygen.trim().split("\n")).toHaveLength(8);
    expect(deviationsOf(withoutOxygen)).toEqual([["left-out", 'task "Oxygen, airway"']]);
  });

  test("are one slip where something is told with them that nothing answers", () => {
    expect(deviationsOf(`${IN_ONE_SECOND}\n  event the lights went out`)).toEqual([
      ["not-in-protocol", "the lights went out"],
    ]);
  });
});

/** What is found in a case whose cannula is removed at 5:30, with all of this six seconds later. */
function deviationsOf(inOneSecond: string) {
  const before = `
    0   start apply cuffs
    0   start task "Patient, limb, drug and dose read aloud"
    10  end   task "Patient, limb, drug and dose read aloud"
    10  start insert cannula
    20  start exsanguinate by elevation
    200 start exsanguinate by arterial-compression
    230 start inflate proximal
    235 start confirm proximal
    238 start confirm no pulse
    240 start task "In the blocked limb; nothing else is connected"
    241 end   task "In the blocked limb; nothing else is connected"
    241 start inject local
    331 start remove cannula`;
  const after = `
    340 end   task "No pulse: resuscitate; it may take over an hour"
    340 start give lipid-bolus
    400 start give lipid-infusion
    400 start task "Cuff release is decided by the anaesthetist in charge"
    420 end   task "Cuff release is decided by the anaesthetist in charge"`;
  const text = before + inOneSecond.replace(/^ +(?=\S)/gm, "    336 ") + after;
  const rows = text
    .trim()
    .split("\n")
    .map((line) => {
      const [, time = "", event = "", value = ""] = /^ *(\d+) +(\w+) +(.*)$/.exec(line) ?? [];
      return csvRow({ case: "TH-1", time, event, value });
    });
  const [told] = replayed(judge, `case,time,event,value\n${rows.join("")}`).cases;
  return told?.deviations.map(({ kind, what }) => [kind, what]);
}
