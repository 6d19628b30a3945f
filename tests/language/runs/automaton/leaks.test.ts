import { describe, expect, test } from "vitest";
import { protocolOf } from "../small-protocol.ts";
import { begin } from "./walk.ts";

const PLAN = protocolOf({
  steps: "inflate all\nconfirm all\nwait 5 min",
  more: `throughout {
  when cuff-leak of distal {
    inflate distal
    confirm distal
  }
  when rain {
    wait 1 min
  }
}`,
});

const begun = (leaks?: "one" | "both") =>
  begin(PLAN, leaks).happens("inflate all ends", "0:00").happens("confirm all ends", "0:00");

describe("a leak", () => {
  test("does not happen while no faults are explored, and what answers it is not needed", () => {
    expect(begun().may).toEqual(["rain 0:00 to 5:00", "wait 5 min ends at 5:00"]);
  });

  test("may happen to any cuff that is up, at any moment, and flattens it", () => {
    expect(begun("one").may).toEqual([
      "distal loses pressure 0:00 to 5:00",
      "proximal loses pressure 0:00 to 5:00",
      "rain 0:00 to 5:00",
      "wait 5 min ends at 5:00",
    ]);
    const walk = begun("one").happens("proximal loses pressure", "2:00");
    expect([walk.is("cuff proximal"), walk.is("cuff distal")]).toEqual(["flat", "confirmed"]);
  });

  test("happens once in a run", () => {
    const walk = begun("one").happens("proximal loses pressure", "2:00");
    expect(walk.may).toEqual(["rain 2:00 to 5:00", "wait 5 min ends at 5:00"]);
  });

  test("is answered at once by its handler, which brings the cuff up again", () => {
    const walk = begun("one").happens("distal loses pressure", "2:00");
    expect(walk.now).toBe("inflate distal at 2:00");
    walk.happens("inflate distal ends", "2:10").happens("confirm distal ends", "2:20");
    expect([walk.now, walk.is("cuff distal")]).toEqual(["wait 5 min at 2:20", "confirmed"]);
  });

  test("may also strike in a handler, and is answered when that returns", () => {
    const walk = begun("one").happens("rain", "1:00").happens("distal loses pressure", "1:30");
    expect(walk.may).toEqual(["wait 1 min ends at 2:00"]);
    expect(walk.happens("wait 1 min ends", "2:00").now).toBe("inflate distal at 2:00");
  });

  test("may take every cuff at once, where that is asked", () => {
    const walk = begun("both");
    expect(walk.can("distal loses pressure", "1:00")).toBe(false);
    walk.happens("every cuff loses pressure", "1:00");
    expect([walk.is("cuff proximal"), walk.is("cuff distal")]).toEqual(["flat", "flat"]);
    expect(walk.now).toBe("inflate distal at 1:00");
  });
});
