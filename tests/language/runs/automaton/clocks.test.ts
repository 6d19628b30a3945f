import { describe, expect, test } from "vitest";
import { ruled } from "../broken-rules.ts";
import { protocolOf, runsOf } from "../small-protocol.ts";
import { begin } from "./walk.ts";

/** The end of a run behind two confirmed cuffs, with the cannula in; it takes no time. */
const READY = "insert cannula\ninflate all\nconfirm all";

const ready = (steps: string, more = "") =>
  begin({ steps: `${READY}\n${steps}`, more })
    .happens("insert cannula ends", "0:00")
    .happens("inflate all ends", "0:10")
    .happens("confirm all ends", "0:10");

describe("hold", () => {
  test("exists without a timer, and counts from the end of the injection", () => {
    const walk = ready("inject local\nwait 5 min");
    expect(walk.is("hold runs")).toBe("no");
    walk.happens("inject local ends", "1:30");
    expect(walk.is("hold runs")).toBe("yes");
    expect(walk.clock("hold", "6:30")).toBe("5:00");
  });

  test("is stopped by another injection, and counts anew from its end", () => {
    const walk = ready("inject local\nwait 5 min\ninject top-up\nwait 1 min");
    walk.happens("inject local ends", "1:10").happens("wait 5 min ends", "6:10");
    expect(walk.inHand).toBe("inject top-up");
    expect(walk.is("hold runs")).toBe("no");
    walk.happens("inject top-up ends", "6:40");
    expect(walk.is("hold runs")).toBe("yes");
    expect(walk.clock("hold", "7:40")).toBe("1:00");
  });

  test("has not reached the minimum while it does not count: a release during the injection is too early", () => {
    const steps = `${READY}\ninject local\nwait 31 min\ninject top-up\ndeflate all`;
    expect(ruled({ steps }).broken).toContain("early-release");
    const { runs } = ruled({ steps: `${READY}\ninject local\nwait 31 min\ndeflate all` });
    expect(runs.brokenBy("early-release")).toEqual([]);
  });
});

describe("occlusion", () => {
  test("counts from the end of the first inflation, and not anew from another", () => {
    const walk = begin({ steps: "inflate distal\nwait 2 min\ninflate proximal\nwait 1 min" });
    walk.happens("inflate distal ends", "0:15").happens("wait 2 min ends", "2:15");
    walk.happens("inflate proximal ends", "2:20");
    expect(walk.clock("occlusion", "3:15")).toBe("3:00");
  });

  test("counts to the start of the last deflation", () => {
    const steps = `${READY}\ninject local\nwait 40 min\ndeflate all for 10 s\nwait 1 min\ndeflate all`;
    const { envelope } = runsOf(protocolOf({ steps }));
    // Confirming 0 to 15 s, injecting 60 to 120 s, 40 min, flat for 10 to 25 s, 1 min.
    expect(envelope.occlusion?.shortest.seconds).toBe(0 + 60 + 2400 + 10 + 60);
    expect(envelope.occlusion?.longest?.seconds).toBe(15 + 120 + 2400 + 25 + 60);
  });
});

describe("a test of the cuffs", () => {
  const TESTED = 'inflate all\ntask "Look"\ndeflate all\ntask "Drape"\ninflate all\nwait 1 min';
  const tested = (steps: string, until: string, again: string) =>
    begin({ steps })
      .happens("inflate all ends", "0:10")
      .happens('task "Look" ends', until)
      .happens("deflate all ends", until)
      .happens('task "Drape" ends', again)
      .happens("inflate all ends", again);

  test("that is over in under five minutes lets occlusion begin anew with the next inflation", () => {
    expect(tested(TESTED, "5:09", "40:00").clock("occlusion", "41:00")).toBe("1:00");
    expect(tested(TESTED, "5:09", "5:09").clock("occlusion", "5:10")).toBe("0:01");
  });

  test("that takes five minutes is no test", () => {
    expect(tested(TESTED, "5:10", "40:00").clock("occlusion", "41:00")).toBe("40:50");
  });

  test("soon after another one is the same one; after two minutes with flat cuffs it is another", () => {
    const twice = `inflate all\ntask "Look"\ndeflate all\ntask "Drape"\n${TESTED}`;
    const second = (again: string, until: string) =>
      tested(twice, "3:10", again)
        .happens('task "Look" ends', until)
        .happens("deflate all ends", until)
        .happens('task "Drape" ends', "30:00")
        .happens("inflate all ends", "30:00");
    expect(second("5:09", "5:10").clock("occlusion", "31:00")).toBe("25:51");
    expect(second("5:10", "10:00").clock("occlusion", "31:00")).toBe("1:00");
    expect(second("4:00", "5:09").clock("occlusion", "31:00")).toBe("1:00");
  });

  test("ends neither with one of two cuffs, nor after an injection", () => {
    const one = "inflate all\ndeflate distal\nwait 1 min\ninflate distal\nwait 1 min";
    const walk = begin({ steps: `${one}\ndeflate all\ninflate all` });
    walk.happens("inflate all ends", "0:00").happens("deflate distal ends", "0:00");
    walk.happens("wait 1 min ends", "1:00").happens("inflate distal ends", "1:00");
    expect(walk.clock("occlusion", "2:00")).toBe("2:00");
    const injected = ready("inject local\ndeflate all\ninflate all\nwait 1 min", "");
    injected.happens("inject local ends", "1:10").happens("deflate all ends", "1:10");
    injected.happens("inflate all ends", "1:10");
    expect(injected.clock("occlusion", "2:10")).toBe("2:00");
  });

  test("lets what counts from the first inflation begin anew, too", () => {
    const more = "timer cuffs-up from first inflation {\nat most 60 min\n}";
    const walk = begin({ steps: TESTED, more });
    walk.happens("inflate all ends", "0:10").happens('task "Look" ends', "2:00");
    walk.happens("deflate all ends", "2:00").happens('task "Drape" ends', "40:00");
    walk.happens("inflate all ends", "40:00");
    expect(walk.clock("occlusion", "41:00")).toBe("1:00");
  });
});

describe("the release", () => {
  test("is the first moment after the start of the injection with no cuff up", () => {
    const walk = ready("inject local\ndeflate distal\nwait 1 min\ndeflate proximal");
    walk.happens("inject local ends", "1:10").happens("deflate distal ends", "1:10");
    expect(walk.is("drug")).toBe("in the limb");
    walk.happens("wait 1 min ends", "2:10");
    expect([walk.inHand, walk.is("drug")]).toEqual(["deflate proximal", "released"]);
  });

  test("is not before the injection", () => {
    const walk = ready("deflate all\ninflate all\ninject local");
    walk.happens("deflate all ends", "0:10");
    expect(walk.is("drug")).toBe("not injected");
  });

  test("comes again after another injection", () => {
    const walk = ready("inject local\ndeflate all for 10 s\ninject top-up\nwait 1 min\ndeflate all");
    walk.happens("inject local ends", "1:10");
    expect(walk.is("drug")).toBe("released");
    walk.happens("deflate all for 10 s ends", "1:20");
    expect(walk.is("drug")).toBe("in the limb");
    walk.happens("inject top-up ends", "1:50").happens("wait 1 min ends", "2:50");
    expect(walk.is("drug")).toBe("released");
  });

  test("is where the minimum is judged, by the time since the injection", () => {
    const early = `${READY}\ninject local\nwait 29 min to 40 min\ndeflate all`;
    const [broken] = ruled({ steps: early }).runs.brokenBy("early-release");
    expect(broken?.run.clocks.hold).toBe(29 * 60);
    const { envelope } = runsOf(protocolOf({ steps: early }));
    expect(envelope.release?.earliest).toEqual({ seconds: 29 * 60, attained: true });
    expect(envelope.release?.latest).toEqual({ seconds: 40 * 60, attained: true });
  });

  test("has no latest moment behind a task without a longest time: neither the fastest nor the slowest team is left out", () => {
    const steps = `${READY}\ninject local\ntask "Suture"\ndeflate all`;
    const { envelope } = runsOf(protocolOf({ steps }));
    expect(envelope.release).toEqual({ earliest: { seconds: 0, attained: true } });
  });
});

test("where nothing stops them, the fastest team releases early and the slowest overruns the maximum: each has its run", () => {
  const { runs } = ruled({ steps: `${READY}\ninject local\ntask "Suture"\ndeflate all` });
  const [early] = runs.brokenBy("early-release");
  const [late] = runs.brokenBy("occlusion-too-long");
  expect(early?.run.clocks.hold).toBe(0);
  expect(late?.run.clocks.occlusion).toBe(60 * 60 + 1);
});

describe("the maximum", () => {
  test("is judged at the last deflation, by the time since the first inflation", () => {
    const steps = `${READY}\ninject local\nwait 57 min\ndeflate all for 10 s\nwatch 1 min\ndeflate all`;
    const [broken] = ruled({ steps }).runs.brokenBy("occlusion-too-long");
    expect(broken?.run.steps.at(-1)).toMatchObject({ says: "deflate all", origin: { start: { line: 10 } } });
    expect(broken?.run.clocks.occlusion).toBeGreaterThan(60 * 60);
  });
});

describe("a timer", () => {
  const timer = (limits: string, from = "end of local") => `timer clock-of-ours from ${from} {\n${limits}\n}`;

  test("claims with `at least` that the release does not come before", () => {
    const steps = `${READY}\ninject local\nwait 32 min\ndeflate all`;
    expect(ruled({ steps, more: timer("at least 32 min") }).broken).not.toContain("timer-claim-broken");
    expect(ruled({ steps, more: timer("at least 33 min") }).broken).toContain("timer-claim-broken");
  });

  test("claims with `at most` that the last deflation does not come after", () => {
    const steps = `${READY}\ninject local\nwait 32 min\ndeflate all for 10 s\nwatch 5 min\ndeflate all`;
    expect(ruled({ steps, more: timer("at most 38 min") }).broken).not.toContain("timer-claim-broken");
    expect(ruled({ steps, more: timer("at most 37 min") }).broken).toContain("timer-claim-broken");
  });

  test("does not wait by itself: only `wait for` and `when … reaches` make its claims true", () => {
    const steps = `${READY}\ninject local\nwait 5 min\ndeflate all`;
    const more = timer("at least 30 min");
    expect(ruled({ steps, more }).broken).toContain("timer-claim-broken");
    const waiting = steps.replace("wait 5 min", "wait for clock-of-ours");
    expect(ruled({ steps: waiting, more }).broken).not.toContain("timer-claim-broken");
  });

  test("never stops: not while a handler runs, not at the release", () => {
    const walk = ready(
      `inject local
stage a {
  wait 5 min
  when rain {
    wait 2 min
  }
}
deflate all
wait for clock-of-ours`,
      timer("at least 30 min"),
    );
    walk.happens("inject local ends", "1:10").happens("rain", "2:10");
    expect(walk.clock("hold", "4:10")).toBe("3:00");
    walk.happens("wait 2 min ends", "4:10").happens("wait 5 min ends", "6:10");
    walk.happens("deflate all ends", "6:10");
    expect(walk.may).toEqual(["wait for clock-of-ours ends at 31:10"]);
  });

  test.each([
    ["start of local", "0:10"],
    ["end of local", "1:10"],
    ["first inflation", "0:10"],
    ["release", "1:10"],
    ["start of a", "1:10"],
    ["end of a", "6:10"],
  ])("counts from %s", (from, time) => {
    const walk = ready(
      `inject local
deflate all
stage a {
  wait 5 min
}
wait for clock-of-ours`,
      timer("at least 30 min", from),
    );
    walk.happens("inject local ends", "1:10").happens("deflate all ends", "1:10");
    walk.happens("wait 5 min ends", "6:10");
    const [minutes, seconds] = time.split(":");
    expect(walk.may).toEqual([`wait for clock-of-ours ends at ${Number(minutes) + 30}:${seconds}`]);
  });

  test("begins anew when what it counts from happens again", () => {
    const walk = ready(
      "inject local\nwait 5 min\ninject local\nwait for clock-of-ours",
      timer("at least 30 min"),
    );
    walk
      .happens("inject local ends", "1:10")
      .happens("wait 5 min ends", "6:10")
      .happens("inject local ends", "7:10");
    expect(walk.may).toEqual(["wait for clock-of-ours ends at 37:10"]);
  });
});
