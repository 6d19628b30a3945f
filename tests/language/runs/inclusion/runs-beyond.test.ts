import { expect, test } from "vitest";
import { timingOf } from "../../../../language/rules/engine/runs-for.ts";
import { buildAutomaton, type RunBeyond, runDifference } from "../../../../language/runs/index.ts";
import { protocolOf, type SmallProtocol } from "../small-protocol.ts";

function compared(before: SmallProtocol, now: SmallProtocol) {
  const traced = (parts: SmallProtocol) => {
    const protocol = protocolOf(parts);
    return buildAutomaton(protocol, { timing: timingOf(protocol), watchers: [] });
  };
  return runDifference(traced(before), traced(now));
}

function difference(before: SmallProtocol, now: SmallProtocol) {
  const found = compared(before, now);
  if (found.kind === "not-decided") throw new Error(found.limit);
  return { gained: found.gained.map(told), lost: found.lost.map(told) };
}

function told({ run, reason, says }: RunBeyond): string {
  return `${reason}: ${says} at ${run.steps.at(-1)?.at}`;
}

const BLOCK = (wait: string) => `
  insert cannula
  inflate proximal
  confirm proximal
  inject local
  ${wait}
  deflate proximal
  recovery 30 min`;

const HOLD = (atLeast: string) => `timer hold from end of local { at least ${atLeast} }`;

test("a text that is written twice allows the same runs", () => {
  expect(difference({ steps: BLOCK("wait 20 min") }, { steps: BLOCK("wait 20 min") })).toEqual({
    gained: [],
    lost: [],
  });
});

test("a shorter wait gains the runs that go on earlier, and loses those that waited longer", () => {
  expect(difference({ steps: BLOCK("wait 20 min") }, { steps: BLOCK("wait 15 min to 20 min") })).toEqual({
    gained: ["time: deflate proximal at 960"],
    lost: [],
  });
});

test("a longer minimum loses runs and gains none, though the team waits where it passed on before", () => {
  const text = (atLeast: string) => ({
    steps: BLOCK('task "Suture"\n wait for hold'),
    more: HOLD(atLeast),
  });
  expect(difference(text("20 min"), text("30 min"))).toEqual({
    gained: [],
    lost: ["time: deflate proximal at 1260"],
  });
  expect(difference(text("30 min"), text("20 min")).gained).toEqual(["time: deflate proximal at 1260"]);
});

test("an earlier end of a stage loses runs alone: the team could have been as quick before", () => {
  const text = (limit: string) => ({
    steps: BLOCK(`stage work {
      task "Suture"
      when hold reaches ${limit} {
        end stage
      }
    }`),
    more: HOLD("10 min"),
  });
  expect(difference(text("45 min"), text("42 min"))).toEqual({
    gained: [],
    lost: ["time: deflate proximal at 2760"],
  });
});

test("a routine, a round and the same steps written out are the same runs", () => {
  const deflation = "deflate all for 10 s\n watch 1 min\n";
  const written = { steps: BLOCK(deflation + deflation) };
  const inRounds = { steps: BLOCK(`repeat 2 times {\n ${deflation} }`) };
  expect(difference(written, inRounds)).toEqual({ gained: [], lost: [] });
});

test("another order parts where one does what the other does not", () => {
  const swapped = BLOCK("wait 20 min").replace(
    "insert cannula\n  inflate proximal",
    "inflate proximal\n  insert cannula",
  );
  expect(difference({ steps: BLOCK("wait 20 min") }, { steps: swapped })).toEqual({
    gained: ["order: inflate proximal at 0"],
    lost: ["order: insert cannula at 0"],
  });
});

test("a new answer to an event gains the runs in which it happens", () => {
  const text = (handler: string) => ({ steps: BLOCK(`stage work {\n task "Suture"\n ${handler} }`) });
  const handler = "when tourniquet-pain once {\n inflate distal\n confirm distal\n deflate proximal\n }\n";
  const { gained, lost } = difference(text(""), text(handler));
  expect(gained).toEqual(["order: tourniquet-pain at 60"]);
  expect(lost).toEqual([]);
});

test("what goes on after a handler is told by when it could first happen", () => {
  const text = (minutes: string) => ({
    steps: BLOCK(`stage work {
      task "Suture" takes 5 min to 10 min
      when tourniquet-pain once {
        wait ${minutes}
      }
    }`),
  });
  expect(difference(text("1 min to 3 min"), text("1 min to 3 min"))).toEqual({ gained: [], lost: [] });
  expect(difference(text("1 min to 3 min"), text("2 min to 3 min")).gained).toEqual([]);
});

const LATER = 'throughout {\n when hold reaches 50 min {\n task "Call the anaesthetist"\n }\n }';

test("a longer step is a gain also where something else may become due in the meantime", () => {
  const text = (minutes: string) => ({
    steps: BLOCK(`task "Reduce" takes ${minutes}`),
    more: `${HOLD("10 min")}\n${LATER}`,
  });
  const { gained, lost } = difference(text("10 min to 20 min"), text("10 min to 40 min"));
  expect(gained[0]).toMatch(/^time: deflate proximal/);
  expect(lost).toEqual([]);
});

test("a longer wait gains the later runs and loses the earlier ones also there", () => {
  const text = (minutes: string) => ({ steps: BLOCK(`wait ${minutes}`), more: `${HOLD("1 min")}\n${LATER}` });
  const { gained, lost } = difference(text("5 min"), text("6 min"));
  expect(gained.some((one) => one.startsWith("time: deflate proximal"))).toBe(true);
  expect(lost.some((one) => one.startsWith("time: deflate proximal"))).toBe(true);
});

test("a longer injection, whose end is seen, is a gain also there", () => {
  const text = (minutes: string) => ({
    steps: BLOCK("wait 5 min").replace("inject local", `inject local takes ${minutes}`),
    more: `${HOLD("1 min")}\n${LATER}`,
  });
  expect(difference(text("90 s to 3 min"), text("90 s to 5 min")).gained[0]).toMatch(/^time: inject local/);
});

test("where the follower moves unseen too late to keep up, it is not decided, and why is said", () => {
  // Whoever waits 5 min waits for the minimum at 8 min already, and is not called away any more.
  const text = {
    steps: BLOCK(`stage work {
      wait 5 min to 10 min
      when hold reaches 8 min {
        task "Look at the limb"
      }
    }
    wait for hold`),
    more: HOLD("20 min"),
  };
  expect(compared(text, text)).toEqual({
    kind: "not-decided",
    limit: expect.stringMatching(
      /not each was tried; on one run the two seemed to part, and there they do not$/,
    ),
  });
});
