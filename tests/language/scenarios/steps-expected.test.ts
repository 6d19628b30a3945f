import { describe, expect, test } from "vitest";
import { disagreements, withChanges } from "./marked-scenarios.ts";

/** The base protocol with a requirement of the hospital's own. */
const REQUIRING = withChanges([
  "  throughout {\n",
  `  require "Long hold" { deflate all for 10 s only when hold at least 40 min }

  throughout {
`,
]);

/** The base protocol with nothing that ends the procedure but the surgeon, who may be slow. */
const SLOW = withChanges(["      when hold reaches 45 min {\n        end stage\n      }\n", ""]);

/** The base protocol without the wait before the release. */
const HASTY = withChanges(["    wait for hold\n", ""]);

describe("a step", () => {
  test("is allowed from its time on, and refused by the rule that it would break before", () => {
    expect(
      disagreements(`
    scenario "As expected" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed
      run to end of local
      after 12 min task "Reduce and splint" ends
      expect deflate all for 10 s refused by early-release
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: 12 min after the end of \`local\` (14:30)
      expect deflate all for 10 s refused by timer-claim-broken
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: It is allowed from 32:30.
      after 29 min expect deflate all for 10 s refused by early-release
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: at 31:30 would break \`early-release\`
      after 30 min expect deflate all for 10 s allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: it is allowed
    }
    scenario "Otherwise" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed
      run to end of local
      after 12 min task "Reduce and splint" ends
      expect deflate all for 10 s allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed: at 14:30 would break \`early-release\`
      expect deflate all for 10 s refused by no-cuff-up
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed: at 14:30 would break \`early-release\`
      after 30 min expect deflate all for 10 s refused by early-release
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed: it is allowed
    }
`),
    ).toEqual([]);
  });

  test("that is not what comes next is not allowed, and no rule refuses it", () => {
    expect(
      disagreements(`
    scenario "Out of turn" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed
      run to first inflation
      expect confirm distal allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: at the first inflation (1:00)
      expect inflate proximal allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed: is not what comes next. Next is \`confirm distal\`
      expect inflate proximal refused by early-release
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed: is not what comes next
    }
    scenario "In hand already" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed
      run to end of local
      after 10 min expect task "Reduce and splint" allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed: is not what comes next
    }
`),
    ).toEqual([]);
  });

  test("that comes later is refused by the rule that it would break now, also where it leads", () => {
    expect(
      disagreements(`
    scenario "Cuffs" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed
      run to start of procedure
      expect deflate proximal refused by no-cuff-up
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: would break \`no-cuff-up\`
      expect deflate proximal refused by early-release
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed: would break \`no-cuff-up\`
    }
`),
    ).toEqual([]);
  });

  test("that nothing is mended by leaving out can be taken late, and still breaks its rule", () => {
    expect(
      disagreements(
        `
    scenario "Slow surgeon" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed
      run to end of local
      after 70 min task "Reduce and splint" ends
      expect deflate all for 10 s refused by occlusion-too-long
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: It can be started, but it breaks
      expect deflate all for 10 s allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed: It can be started, but it breaks
    }
`,
        SLOW,
      ),
    ).toEqual([]);
  });

  test("may break a requirement of the hospital's own", () => {
    expect(
      disagreements(
        `
    scenario "A long hold" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed
      run to end of local
      after 31 min task "Reduce and splint" ends
      expect deflate all for 10 s refused by requirement-broken
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: It is allowed from 42:30.
    }
    scenario "Long enough" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed
      run to end of procedure
      expect deflate all for 10 s refused by requirement-broken
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed: it is allowed
    }
`,
        REQUIRING,
      ),
    ).toEqual([]);
  });

  test("can be expected of a protocol in which findings stand: a scenario may show them", () => {
    expect(
      disagreements(
        `
    scenario "No wait" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed
      run to end of local
      after 12 min task "Reduce and splint" ends
      expect deflate all for 10 s refused by early-release
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: would break \`early-release\`
      expect deflate all for 10 s due at 12 min
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed: would break \`early-release\`
    }
`,
        HASTY,
      ),
    ).toEqual([]);
  });

  test("that the protocol does not have is neither allowed nor due", () => {
    expect(
      disagreements(`
    scenario "No such step" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed
      expect give local allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^ failed: has no such step
      expect give local due at 10 min
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed: has no such step
    }
`),
    ).toEqual([]);
  });
});

describe("a step is named", () => {
  test("as it is written, though another does the same", () => {
    expect(
      disagreements(`
    scenario "Two ways to deflate" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed
      run to end of procedure
      expect deflate all for 10 s due at 0 s
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: (47:30)
      expect deflate all due at 140 s
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: (49:50)
      expect deflate all allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^ failed: is not what comes next
    }
`),
    ).toEqual([]);
  });

  test("or by what it does, where it is written nowhere so", () => {
    expect(
      disagreements(`
    scenario "Without a manner" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed
      expect exsanguinate due at 0 s
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: at the beginning (0:00)
      run to release
      event toxicity-signs happens
      expect task help allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^ passed
      expect task oxygen allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^ failed: is not what comes next
    }
    scenario "Other cuffs" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed
      run to release
      expect confirm all refused by step-out-of-place
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: would break \`step-out-of-place\`
    }
`),
    ).toEqual([]);
  });
});

describe("a step is due", () => {
  test("when it comes by itself, each step taking its shortest time, counted from the last `run to`", () => {
    expect(
      disagreements(`
    scenario "Shortest times" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed
      run to first inflation
      expect confirm distal due at 0 s
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: at the first inflation (1:00)
      run to start of local
      expect remove cannula due at 90 s
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: it is due 90 s after the start of \`local\` (2:30)
      expect task "Reduce and splint" due at 6 min
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed: it is due 6 min 30 s after the start of \`local\` (7:30)
      run to end of local
      after 12 min task "Reduce and splint" ends
      expect deflate all for 10 s due at 30 min
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: it is due 30 min after the end of \`local\` (32:30)
      expect deflate all for 10 s due at 29 min
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed: it is due 30 min after the end of \`local\` (32:30)
    }
    scenario "By a timer" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed
      run to end of local
      expect deflate all for 10 s due at 45 min
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: it is due 45 min after the end of \`local\` (47:30)
    }
`),
    ).toEqual([]);
  });

  test("never, once it has been and the protocol has ended", () => {
    expect(
      disagreements(`
    scenario "Once only" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed
      run to release
      expect inject local due at 10 min
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed: The protocol ends at 1:19:50.
    }
`),
    ).toEqual([]);
  });
});
