import { describe, expect, test } from "vitest";
import { eventFrom } from "./event-from.ts";
import { accepted, at, refused, startedCase, through, wristFile } from "./started-case.ts";

const begun = startedCase(wristFile());
const injecting = through(
  begun,
  "0:00 start apply cuffs",
  '0:00 start task "Patient, limb, drug and dose read aloud"',
  '0:00 end task "Patient, limb, drug and dose read aloud"',
  "0:00 start insert cannula",
  "0:00 start exsanguinate by elevation",
  "1:00 start exsanguinate by bandage",
  "1:30 start inflate distal",
  "1:40 start confirm distal",
  "1:50 start inflate proximal",
  "2:00 start confirm proximal",
  "2:10 start deflate distal",
  "2:20 start remove bandage",
  "2:40 start confirm no pulse",
  '2:50 start task "In the blocked limb; nothing else is connected"',
  '3:00 end task "In the blocked limb; nothing else is connected"',
  "3:00 start inject local",
);

describe("a step that is not the next one is refused", () => {
  test("by the rule that it would break, although it is far from being the next", () => {
    const inject = refused(begun.offer(eventFrom("start inject local"), 0));
    expect(inject.because).toBe("breaks-a-rule");
    expect(inject.rules.map(({ rule }) => rule)).toContain("inject-before-occlusion");
    expect(inject.from).toBeUndefined();
    expect(inject.words).toContain("Waiting does not change that.");
  });

  test("as not what comes next, where no rule forbids it, saying what is in hand", () => {
    const inflate = refused(begun.offer(eventFrom("start insert cannula"), 0));
    expect(inflate).toMatchObject({ because: "not-next", rules: [] });
    expect(inflate.words).toBe("`insert cannula` is not what comes next. Next is `apply cuffs`.");
    const skipped = refused(
      through(begun, "0:00 start apply cuffs").offer(eventFrom("start recovery 30 min"), 5),
    );
    expect(skipped.words).toContain("`apply cuffs` is in hand.");
  });

  test("as too early, where the step in hand has to last longer, with the time", () => {
    const elevating = through(
      begun,
      "0:00 start apply cuffs",
      '0:00 start task "Patient, limb, drug and dose read aloud"',
      '0:00 end task "Patient, limb, drug and dose read aloud"',
      "0:00 start insert cannula",
      "0:10 start exsanguinate by elevation",
    );
    const early = refused(elevating.offer(eventFrom("start exsanguinate by bandage"), at("0:40")));
    expect(early).toMatchObject({ because: "too-early", from: at("1:10"), rules: [] });
    expect(early.words).toBe(
      "`exsanguinate by bandage` comes too early at 0:40: `exsanguinate by elevation` is in hand. It is allowed from 1:10.",
    );
  });
});

describe("the rules that a step out of turn would break", () => {
  const watched = startedCase(
    wristFile([
      "  throughout {",
      '  require "Not both flat" { never proximal flat and distal flat and drug in limb }\n\n  throughout {',
    ]),
  );
  const procedure = watched.advance(Number.POSITIVE_INFINITY, {
    pace: "shortest",
    until: ({ kind, says }) => kind === "start" && says.startsWith('task "Reduce'),
  }).case;
  const deflate = eventFrom("start deflate all");

  test("are also those of the place that it leads to", () => {
    const { rules, because } = refused(procedure.offer(deflate, procedure.at));
    expect(because).toBe("breaks-a-rule");
    expect(rules.map(({ rule }) => rule)).toContain("requirement-broken");
    expect(rules.map(({ rule }) => rule)).toContain("early-release");
  });

  test("are not those that only a handler would break which runs by itself, with nothing interrupted", () => {
    const swap = refused(procedure.offer(eventFrom("start inflate distal"), procedure.at));
    expect(swap).toMatchObject({ because: "not-next", rules: [] });
  });

  test("are named when it only comes too late for them, and it is then refused as not the next", () => {
    const late = refused(procedure.offer(deflate, procedure.at + at("20:00")));
    expect(late.rules.map(({ rule }) => rule)).not.toContain("occlusion-too-long");
    const held = begun.advance(Number.POSITIVE_INFINITY, {
      pace: "shortest",
      until: ({ kind, says }) => kind === "start" && says.startsWith("watch"),
    }).case;
    const again = refused(held.offer(eventFrom("start deflate all"), held.at + at("120:00")));
    expect(again).toMatchObject({ because: "not-next" });
    expect(again.rules.map(({ rule }) => rule)).toContain("occlusion-too-long");
  });
});

describe("the end of a step", () => {
  test("before its shortest time is refused, with the time", () => {
    expect(refused(injecting.offer(eventFrom("end inject local"), at("4:00")))).toMatchObject({
      because: "too-early",
      from: at("4:30"),
    });
  });

  test("after its longest time is accepted, and is said to be late", () => {
    const late = injecting.offer(eventFrom("end inject local"), at("6:20"));
    expect(late).toMatchObject({ kind: "accepted", late: 20 });
    expect(injecting.due(at("6:20")).overdue).toEqual([{ says: "inject local", since: at("6:00") }]);
    const implied = injecting.offer(eventFrom("start remove cannula"), at("6:20"));
    expect(implied).toMatchObject({ kind: "accepted", late: 20 });
  });

  test("of a step that is not in hand is refused", () => {
    expect(refused(injecting.offer(eventFrom("end remove cannula"), at("5:00"))).because).toBe("not-next");
  });

  test("is implied where the next step starts", () => {
    const next = accepted(injecting.offer(eventFrom("start remove cannula"), at("5:00")));
    expect(next.history.slice(-2).map(({ says, kind }) => `${says} ${kind}`)).toEqual([
      "inject local end",
      "remove cannula start",
    ]);
    expect(next.due(at("5:00")).timers[0]?.seconds).toBe(0);
  });
});

describe("whatever is refused", () => {
  test("can be followed all the same, where the protocol knows where it leads", () => {
    const early = refused(injecting.offer(eventFrom("end inject local"), at("4:00")));
    expect(early.anyway?.due(at("4:00")).next.map(({ event }) => event)).toEqual([
      eventFrom("start remove cannula"),
    ]);
  });

  test("leaves the case as it was", () => {
    const before = JSON.stringify([injecting, injecting.due(at("4:00"))]);
    injecting.offer(eventFrom("end inject local"), at("4:00"));
    injecting.offer(eventFrom("end inject local"), at("5:00"));
    injecting.offer(eventFrom("leak proximal"), at("5:00"));
    injecting.advance(at("99:00"), { pace: "shortest" });
    expect(JSON.stringify([injecting, injecting.due(at("4:00"))])).toBe(before);
  });
});

describe("time", () => {
  test("does not run backwards", () => {
    const back = refused(injecting.offer(eventFrom("end inject local"), at("2:59")));
    expect(back.because).toBe("in-the-past");
    expect(back.words).toBe("The end of `inject local` at 2:59 is before what was said last, at 3:00.");
  });

  test("that is past is not looked at again", () => {
    expect(() => injecting.due(at("2:59"))).toThrow(RangeError);
  });

  test("is a number", () => {
    for (const time of [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]) {
      expect(() => injecting.offer(eventFrom("end inject local"), time)).toThrow(RangeError);
      expect(() => injecting.due(time)).toThrow(RangeError);
    }
    expect(() => injecting.advance(Number.NaN)).toThrow(RangeError);
  });

  test("may lie between two seconds", () => {
    expect(refused(injecting.offer(eventFrom("end inject local"), at("4:30") - 0.001)).from).toBe(at("4:30"));
    expect(injecting.offer(eventFrom("end inject local"), at("4:30") + 0.001).kind).toBe("accepted");
  });
});

describe("a question and a cuff that is not confirmed", () => {
  const asking = startedCase(
    wristFile(
      ["    confirm distal\n", "    confirm distal else { inflate distal }\n"],
      ["    wait 5 min\n", '    ask "Is the block complete?" { yes { wait 5 min } no { wait 10 min } }\n'],
    ),
  );
  const confirming = through(
    asking,
    "0:00 start apply cuffs",
    '0:00 start task "Patient, limb, drug and dose read aloud"',
    '0:00 end task "Patient, limb, drug and dose read aloud"',
    "0:00 start insert cannula",
    "0:00 start exsanguinate by elevation",
    "1:00 start exsanguinate by bandage",
    "1:30 start inflate distal",
    "1:40 start confirm distal",
  );

  test("the answer no leads to what is written for it", () => {
    const again = through(confirming, "1:45 answer no to confirm distal");
    expect(again.due(at("1:45")).next.map(({ event }) => event)).toEqual([eventFrom("start inflate distal")]);
  });

  test("nothing goes on before a question is answered", () => {
    const asked = confirming.advance(at("99:00"), { pace: "shortest" }).case;
    const { next } = asked.due(asked.at);
    expect(next.map(({ event }) => event)).toEqual([
      eventFrom("answer yes to Is the block complete?"),
      eventFrom("answer no to Is the block complete?"),
    ]);
    const no = accepted(asked.offer(eventFrom("answer no to Is the block complete?"), asked.at));
    expect(no.due(no.at).next.map(({ event }) => event)).toEqual([eventFrom("start wait 10 min")]);
    expect(refused(asked.offer(eventFrom("start wait 5 min"), asked.at)).because).toBe("not-next");
  });
});

describe("letting time pass", () => {
  const local = injecting.advance(at("99:00"), {
    pace: "shortest",
    until: ({ kind, step }) => kind === "end" && step?.dose === "local",
  });

  test("stops right after what is looked for", () => {
    expect(local.case.at).toBe(at("4:30"));
    expect(local.happenings.map(({ says }) => says)).toEqual(["inject local"]);
  });

  test("at the shortest, each step takes its shortest time, and a task without a longest time goes on", () => {
    const later = local.case.advance(at("20:00"), { pace: "shortest" });
    expect(
      later.happenings.filter(({ kind }) => kind === "end").map(({ at: time, says }) => [time, says]),
    ).toEqual([
      [at("4:30"), "remove cannula"],
      [at("9:30"), "wait 5 min"],
    ]);
    expect(later.case.due(at("20:00")).inHand).toBe('task "Reduce and splint"');
  });

  test("takes nothing that happens at the very time it stops at", () => {
    expect(local.case.advance(at("9:30"), { pace: "shortest" }).case.due(at("9:30")).inHand).toBe(
      "wait 5 min",
    );
  });

  test("lets a step of a fixed time end by itself, and nothing else", () => {
    const waiting = through(local.case, "4:40 start remove cannula", "5:00 start wait 5 min");
    const later = waiting.advance(at("30:00"));
    expect(later.happenings.map(({ at: time, says, kind }) => [time, says, kind])).toEqual([
      [at("10:00"), "wait 5 min", "end"],
      [at("10:00"), "stage procedure", "start"],
    ]);
    expect(injecting.advance(at("30:00")).happenings).toEqual([]);
  });

  test("stops before a step that would break a rule, and says which", () => {
    const hasty = startedCase(wristFile(["    wait for hold\n", ""]));
    const run = hasty.advance(at("99:00"), {
      pace: "shortest",
      until: ({ kind, says }) => kind === "start" && says.startsWith('task "Reduce'),
    }).case;
    const ended = accepted(run.offer(eventFrom('end task "Reduce and splint"'), run.at + 300));
    const stopped = ended.advance(at("99:00"), { pace: "shortest" });
    expect(stopped.happenings).toEqual([]);
    expect(stopped.stoppedBy?.rules.map(({ rule }) => rule)).toContain("early-release");
  });
});

test("an alarm tells of what must never be, as soon as it is", () => {
  const never =
    'require "No drug without a bandage off" { never drug in limb and since first inflation over 10 min }';
  const watched = startedCase(wristFile(["  prepare {", `  ${never}\n  prepare {`]));
  const run = watched.advance(at("99:00"), {
    pace: "shortest",
    until: ({ kind, says }) => kind === "start" && says.startsWith('task "Reduce'),
  }).case;
  const inflated = at("1:00");
  expect(run.due(inflated + at("10:00")).alarms).toEqual([]);
  expect(run.due(inflated + at("10:01")).alarms).toEqual([
    { rule: "requirement-broken", about: "0", since: inflated + at("10:00") },
  ]);
});

test("after the end nothing more is provided for", () => {
  const end = startedCase(wristFile(["    stage procedure {", "    finish\n    stage procedure {"]));
  const over = end.advance(at("99:00"), { pace: "shortest" }).case;
  expect(over.isOver).toBe(true);
  expect(over.due(over.at).next).toEqual([]);
  expect(refused(over.offer(eventFrom("event toxicity-signs"), over.at)).because).toBe("over");
});

test.each([
  { kind: "start", step: "inject local" },
  { kind: "start", step: { kind: "wait", for: "long" } },
  { kind: "event", event: "tourniquet-pain" },
  { kind: "note" },
])("what is no event of the vocabulary is refused in words: %j", (made) => {
  const refusal = refused(begun.offer(made as never, 0));
  expect(refusal.words).toContain("something that is no event");
});
