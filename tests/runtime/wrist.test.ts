import { describe, expect, test } from "vitest";
import { eventFrom } from "./event-from.ts";
import { accepted, at, refused, startedCase, through, told, wristFile } from "./started-case.ts";

const file = wristFile();
const begun = startedCase(file);

const PREPARED = [
  "0:00 start apply cuffs",
  '0:20 start task "Patient, limb, drug and dose read aloud"',
  '0:40 end task "Patient, limb, drug and dose read aloud"',
  "0:40 start insert cannula",
  "1:20 start exsanguinate by elevation",
  "2:20 start exsanguinate by bandage",
  "3:00 start inflate distal",
  "3:10 start confirm distal",
  "3:20 start inflate proximal",
  "3:30 start confirm proximal",
  "3:40 start deflate distal",
  "3:50 start remove bandage",
  "4:20 start confirm no pulse",
  '4:50 start task "In the blocked limb; nothing else is connected"',
  '5:00 end task "In the blocked limb; nothing else is connected"',
  "5:00 start inject local",
];
const INJECTED = [...PREPARED, "7:00 end inject local", "7:00 start remove cannula", "7:30 start wait 5 min"];
const IN_PROCEDURE = [...INJECTED, '12:30 start task "Reduce and splint"'];

const injected = through(begun, ...INJECTED);
const inProcedure = through(begun, ...IN_PROCEDURE);
const DECISION = 'task "Will it end in time? If not, another anaesthetic"';
/** 35 min after the injection it was decided to go on. */
const decided = through(inProcedure, `42:00 start ${DECISION}`, `42:30 end ${DECISION}`);

describe("the wrist protocol, step by step", () => {
  test("is followed to its end", () => {
    const end = through(
      inProcedure,
      '30:00 end task "Reduce and splint"',
      "30:00 start wait for hold",
      "37:00 start deflate all for 10 s",
      "37:20 start watch 1 min",
      "38:20 start deflate all for 10 s",
      "38:40 start watch 1 min",
      "39:40 start deflate all",
      "39:45 start recovery 30 min",
      "69:45 end recovery 30 min",
    );
    expect(end.isOver).toBe(true);
    expect(end.history.flatMap(({ breaks }) => breaks)).toEqual([]);
    expect(end.due(end.at).facts).toMatchObject({ "cuff proximal": "flat", drug: "released" });
  });

  test("says what is so, and what every timer shows", () => {
    const due = injected.due(at("10:00"));
    expect(due.inHand).toBe("wait 5 min");
    expect(due.facts).toMatchObject({
      "cuff proximal": "confirmed",
      "cuff distal": "flat",
      bandage: "off",
      cannula: "out",
      drug: "in the limb",
    });
    expect(due.timers.map(({ kind, name, seconds }) => ({ kind, name, seconds }))).toEqual([
      { kind: "hold", name: undefined, seconds: at("3:00") },
      { kind: "occlusion", name: undefined, seconds: at("6:50") },
      { kind: "timer", name: "hold", seconds: at("3:00") },
    ]);
    expect(due.timers[0]?.bounds).toContainEqual({
      rule: "early-release",
      is: "at-least",
      seconds: at("30:00"),
      reachedAt: at("37:00"),
    });
    expect(due.timers[1]?.bounds).toContainEqual({
      rule: "occlusion-too-long",
      is: "at-most",
      seconds: at("60:00"),
      reachedAt: at("63:10"),
    });
  });

  test("a timer that does not run shows nothing", () => {
    const [hold, occlusion] = through(begun, ...PREPARED).due(at("5:30")).timers;
    expect(hold?.seconds).toBeUndefined();
    expect(occlusion?.seconds).toBe(at("2:20"));
  });

  test("says what can come next, from when and until when", () => {
    expect(through(begun, ...PREPARED).due(at("5:10")).next).toEqual([
      { event: eventFrom("end inject local"), from: at("6:30"), to: at("8:00"), forbiddenBy: [] },
      { event: eventFrom("event toxicity-signs"), from: at("5:10"), to: at("8:00"), forbiddenBy: [] },
      { event: eventFrom("start remove cannula"), from: at("6:30"), to: at("8:00"), forbiddenBy: [] },
    ]);
    const procedure = inProcedure.due(at("13:00"));
    expect(procedure.coming).toEqual([
      { says: "hold reaches 35 min", at: at("42:00") },
      { says: "hold reaches 45 min", at: at("52:00") },
    ]);
    expect(procedure.next.map(({ event, from, to }) => [event, from, to])).toEqual(
      expect.arrayContaining([
        [eventFrom('end task "Reduce and splint"'), at("17:30"), undefined],
        [eventFrom("event tourniquet-pain"), at("13:00"), undefined],
      ]),
    );
  });
});

describe("the release", () => {
  test("before the minimum is refused by its rule, with the time from which it is allowed", () => {
    const early = refused(inProcedure.offer(eventFrom("start deflate all for 10 s"), at("19:00")));
    expect(early.because).toBe("breaks-a-rule");
    expect(early.rules.map(({ rule }) => rule)).toContain("early-release");
    expect(early.from).toBe(at("37:00"));
    expect(early.words).toMatch(
      /^`deflate all for 10 s` at 19:00 would break .*`early-release`.*\. It is allowed from 37:00\.$/,
    );
  });

  test("is due 30 min after the injection: refused a second before, accepted then", () => {
    const waiting = through(inProcedure, '19:00 end task "Reduce and splint"', "19:00 start wait for hold");
    const deflate = eventFrom("start deflate all for 10 s");
    expect(refused(waiting.offer(deflate, at("36:59"))).from).toBe(at("37:00"));
    expect(accepted(waiting.offer(deflate, at("37:00"))).due(at("37:00")).inHand).toBe(
      "deflate all for 10 s",
    );
  });

  test("that is late is not refused: nothing is mended by waiting longer", () => {
    const late = decided.offer(eventFrom("start deflate all for 10 s"), at("64:00"));
    expect(late).toMatchObject({ kind: "accepted", late: at("12:00") });
    expect(late.rules.map(({ rule }) => rule)).toContain("occlusion-too-long");
    const due = decided.due(at("64:00"));
    expect(due.overdue).toEqual([{ says: "deflate all for 10 s", since: at("52:00") }]);
    expect(due.alarms).toContainEqual({ rule: "occlusion-too-long", since: at("63:10") });
    expect(decided.due(at("63:10")).alarms.map(({ rule }) => rule)).not.toContain("occlusion-too-long");
  });
});

describe("a step that ends as the next one starts", () => {
  const flat = through(decided, "52:00 start deflate all for 10 s");
  const tooLong = { rule: "deflation-too-long" };

  test("breaks the rules that its end breaks, whether that is said or not", () => {
    const said = flat.offer(eventFrom("end deflate all for 10 s"), at("56:00"));
    expect(said.rules).toEqual([tooLong]);
    const next = flat.offer(eventFrom("start watch 1 min"), at("56:00"));
    expect(next).toMatchObject({ kind: "accepted", rules: [tooLong], late: at("3:35") });
    expect(accepted(next).history.flatMap(({ breaks }) => breaks)).toEqual([tooLong]);
  });

  test("breaks none in time, and none twice", () => {
    const next = flat.offer(eventFrom("start watch 1 min"), at("52:20"));
    expect(next).toMatchObject({ kind: "accepted", rules: [] });
    const ended = accepted(flat.offer(eventFrom("end deflate all for 10 s"), at("56:00")));
    expect(ended.offer(eventFrom("start watch 1 min"), at("56:00")).rules).toEqual([]);
  });
});

describe("a timer that reaches its time", () => {
  test("acts by itself: the procedure ends when hold reaches 45 min", () => {
    const { case: later, happenings } = decided.advance(at("53:00"));
    expect(told({ happenings })).toEqual([
      "52:00 hold reaches 45 min (reaches)",
      "52:00 end stage (start)",
      "52:00 wait for hold (pass)",
      "52:00 do staged-release (pass)",
      "52:00 repeat 2 times (pass)",
    ]);
    expect(later.due(at("52:00")).next.map(({ event }) => event)).toEqual([
      eventFrom("start deflate all for 10 s"),
    ]);
  });

  test("goes before whatever is said at that moment", () => {
    expect(refused(decided.offer(eventFrom("event tourniquet-pain"), at("52:00"))).because).toBe(
      "not-provided-for",
    );
  });
});

describe("tourniquet pain", () => {
  const swapping = through(inProcedure, "20:00 event tourniquet-pain");

  test("is answered by a swap, after which the task goes on", () => {
    const swapped = through(
      swapping,
      "20:00 start inflate distal",
      "20:10 start confirm distal",
      "20:20 start deflate proximal",
      "20:30 end deflate proximal",
    );
    expect(told({ happenings: swapped.history.slice(-1) })).toEqual(["20:30 go on (return)"]);
    const due = swapped.due(at("20:30"));
    expect(due.inHand).toBe('task "Reduce and splint"');
    expect(due.facts).toMatchObject({ "cuff proximal": "flat", "cuff distal": "confirmed" });
  });

  test("is provided for once", () => {
    const swapped = through(
      swapping,
      "20:00 start inflate distal",
      "20:10 start confirm distal",
      "20:20 start deflate proximal",
      "20:30 end deflate proximal",
    );
    const again = refused(swapped.offer(eventFrom("event tourniquet-pain"), at("25:00")));
    expect(again.because).toBe("not-provided-for");
    expect(again.words).toBe(
      'The protocol provides for no `tourniquet-pain` here. `task "Reduce and splint"` is in hand.',
    );
  });

  test("does not let the proximal cuff down before the distal one is up", () => {
    const slip = refused(swapping.offer(eventFrom("start deflate proximal"), at("20:00")));
    expect(slip.rules.map(({ rule }) => rule)).toContain("no-cuff-up");
    expect(slip.from).toBe(at("37:00"));
    expect(slip.anyway).toBeUndefined();
  });
});

describe("signs of toxicity", () => {
  test("lead to the emergency at once, also out of a handler", () => {
    for (const from of [
      inProcedure,
      through(inProcedure, "20:00 event tourniquet-pain", "20:00 start inflate distal"),
    ]) {
      const emergency = through(from, "20:05 event toxicity-signs");
      expect(emergency.due(at("20:05")).facts).toMatchObject({ emergency: "yes" });
      expect(emergency.due(at("20:05")).next.map(({ event }) => event)).toEqual([
        eventFrom('start task "Stop. Call for help. A cuff that is up stays up."'),
      ]);
    }
  });

  test("give the rescue dose for this patient", () => {
    const help = 'task "Stop. Call for help. A cuff that is up stays up."';
    const rescue = through(
      inProcedure,
      "20:00 event toxicity-signs",
      `20:00 start ${help}`,
      `20:10 end ${help}`,
      '20:10 start task "Oxygen, airway"',
      '20:40 end task "Oxygen, airway"',
      '20:40 start task "Fitting: stop the seizure"',
      '20:40 end task "Fitting: stop the seizure"',
      '20:40 start task "No pulse: resuscitate; it may take over an hour"',
      '20:40 end task "No pulse: resuscitate; it may take over an hour"',
      "20:40 start give lipid-bolus",
      "21:40 start give lipid-infusion",
    );
    // 1.5 mL/kg and 15 mL/kg/h for 60 kg.
    expect(rescue.dose("lipid-bolus")?.amount?.volume).toEqual({ value: "90", unit: "mL" });
    expect(rescue.dose("lipid-infusion")?.rate).toEqual({ value: "900", unit: "mL/h" });
  });
});

describe("a leak", () => {
  test("with another cuff up is answered and breaks nothing", () => {
    const early = through(begun, ...PREPARED.slice(0, 8));
    const leak = early.offer(eventFrom("leak distal"), at("3:35"));
    expect(leak).toMatchObject({ kind: "accepted", rules: [] });
    expect(told({ happenings: accepted(leak).history.slice(-2) })).toEqual([
      "3:35 distal loses pressure (leak)",
      "3:35 cuff-leak (event)",
    ]);
  });

  test("that leaves no cuff up is accepted, for nobody chose it, and says the rule that it breaks", () => {
    const leak = inProcedure.offer(eventFrom("leak proximal"), at("15:00"));
    expect(leak.kind).toBe("accepted");
    expect(leak.rules.map(({ rule }) => rule)).toContain("no-cuff-up");
    expect(
      accepted(leak)
        .due(at("15:00"))
        .next.map(({ event }) => event),
    ).toEqual([eventFrom("start inflate all")]);
  });

  test("between two steps strikes as the next one starts, which has to be said", () => {
    const between = through(begun, ...PREPARED, "7:00 end inject local");
    const leak = refused(between.offer(eventFrom("leak proximal"), at("7:05")));
    expect(leak.because).toBe("between-steps");
    expect(leak.words).toBe(
      "`proximal loses pressure` strikes a step, and none is in hand. Next is `remove cannula`. Say first which step has started.",
    );
    expect(leak.anyway?.history.slice(-3).map(({ says }) => says)).toEqual([
      "remove cannula",
      "proximal loses pressure",
      "cuff-leak",
    ]);
  });

  test("of a cuff that is flat is not provided for", () => {
    expect(refused(inProcedure.offer(eventFrom("leak distal"), at("15:00"))).because).toBe(
      "not-provided-for",
    );
  });
});

test("a scenario is told without any logic of its own: surgery finishes early", () => {
  const local = begun.advance(Number.POSITIVE_INFINITY, {
    pace: "shortest",
    until: ({ kind, step }) => kind === "end" && step?.dose === "local",
  }).case;
  const later = (from: typeof local, clock: string) =>
    from.advance(local.at + at(clock), { pace: "shortest" }).case;
  const task = 'task "Reduce and splint"';
  const deflate = eventFrom("start deflate all for 10 s");
  const finished = accepted(later(local, "12:00").offer(eventFrom(`end ${task}`), local.at + at("12:00")));
  const early = refused(finished.offer(deflate, local.at + at("12:00")));
  expect(early.rules.map(({ rule }) => rule)).toContain("early-release");
  expect((early.from ?? 0) - local.at).toBe(at("30:00"));
  expect(later(finished, "30:00").offer(deflate, local.at + at("30:00")).kind).toBe("accepted");
  expect(local.dose("local")?.amount?.mass).toEqual({ value: "180", unit: "mg" });
  expect(local.pressure).toEqual({ value: "250", unit: "mm[Hg]" });
});
