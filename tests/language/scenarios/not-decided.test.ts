import { describe, expect, test } from "vitest";
import { ASKING, disagreements, resultsOf, withChanges } from "./marked-scenarios.ts";

/** The base protocol with a name that nothing declares. */
const BROKEN = withChanges(["    deflate distal\n", "    deflate dystal\n"]);

describe("a scenario as a whole is not decided", () => {
  test("where its patient is not one that the protocol covers", () => {
    expect(
      disagreements(`
    scenario "A child" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: The patient's body weight is 30 kg; the protocol is for 45 kg to 130 kg.
      patient weight 30 kg, age 10 years
      expect dose local is 90 mg
    }
`),
    ).toEqual([]);
  });

  test("where its patient is said twice", () => {
    expect(
      disagreements(`
    scenario "Two weights" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: The patient's \`weight\` is said twice
      patient weight 60 kg
      patient weight 70 kg
      expect dose local is 200 mg
    }
`),
    ).toEqual([]);
  });

  test("where it expects nothing", () => {
    expect(
      disagreements(`
    scenario "Empty" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: It expects nothing
    }
    scenario "Only a walk" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: It expects nothing
      patient weight 60 kg
      run to end of local
    }
`),
    ).toEqual([]);
  });

  test("where its protocol has errors", () => {
    expect(
      disagreements(
        `
    scenario "A protocol that is not understood" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: is not written: there are errors.
      patient weight 60 kg
      expect dose local is 180 mg
    }
`,
        BROKEN,
      ),
    ).toEqual([]);
  });

  test("where its own text has errors, which may be in any line", () => {
    expect(
      disagreements(`
    scenario "A slip" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: There are errors in this file
      patient weight 60 kg
      expect dose locl is 180 mg
    }
    scenario "Beside a slip" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: There are errors in this file
      patient weight 60 kg
      expect dose local is 180 mg
    }
`),
    ).toEqual([]);
  });

  test("where there is no such protocol", () => {
    expect(
      disagreements(`
    scenario "A protocol of nobody's" for wrist-reductoin {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: There are errors in this file
      patient weight 60 kg
      expect dose local is 180 mg
    }
`),
    ).toEqual([]);
  });
});

describe("a line that cannot be done is not decided, nor is what comes after it", () => {
  test("a task that is not there, or cannot end yet", () => {
    expect(
      disagreements(`
    scenario "A slip in a task" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided
      run to end of local
      task "Reduce and splnt" ends
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: has no \`task "Reduce and splnt"\`
      run to release
  //  ^^^^^^^^^^^^^^ not-decided: which could not be done
      expect deflate all allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: which could not be done
    }
    scenario "Too early" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided
      run to end of local
      after 7 min task "Reduce and splint" ends
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: comes too early at 9:30
      expect deflate all for 10 s allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: which could not be done
    }
`),
    ).toEqual([]);
  });

  test("an event that nothing answers, at all or there", () => {
    expect(
      disagreements(`
    scenario "Nowhere" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided
      run to start of procedure
      event surgery-done happens
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: has no \`when surgery-done\`
      expect deflate all allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: which could not be done
    }
    scenario "Not there" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided
      run to end of local
      event tourniquet-pain happens
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: The protocol provides for no \`tourniquet-pain\` here
      expect deflate all allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: which could not be done
    }
`),
    ).toEqual([]);
  });

  test("a moment that does not come again", () => {
    expect(
      disagreements(`
    scenario "Backwards" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided
      run to release
      run to start of local
  //  ^^^^^^^^^^^^^^^^^^^^^ not-decided: The run does not come to the start of \`local\`
      expect deflate all allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: which could not be done
    }
`),
    ).toEqual([]);
  });

  test("what comes after a question that is not answered, or a task that is not said to end", () => {
    expect(
      disagreements(
        `
    scenario "No answer" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided
      run to end of procedure
  //  ^^^^^^^^^^^^^^^^^^^^^^^ not-decided: write \`answer "Does the block cover the wound?" yes\` or \`no\`
      expect deflate all for 10 s allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: which could not be done
    }
    scenario "A late answer" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided
      run to start of procedure
      expect deflate all for 10 s due at 30 min
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: The run does not come to it by itself
      after 10 min answer "Does the block cover the wound?" yes
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: No run of the protocol is here at 17:30
      expect deflate all for 10 s allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: which could not be done
    }
    scenario "Another question" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided
      answer "Is it raining?" yes
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: asks no such question
      expect apply cuffs allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: which could not be done
    }
`,
        ASKING,
      ),
    ).toEqual([]);
  });

  test("the end of a task in an emergency", () => {
    expect(
      disagreements(`
    scenario "Nobody says that help has come" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided
      run to start of procedure
      event toxicity-signs happens
      expect give lipid-bolus due at 1 min
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: ends only when the scenario says so
    }
`),
    ).toEqual([]);
  });
});

describe("an expectation that has no answer is not decided", () => {
  test("a rule that does not exist, or that judges no step", () => {
    expect(
      disagreements(`
    scenario "Rules" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided
      run to end of local
      expect deflate all refused by early-releas
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: Did you mean \`early-release\`?
      expect deflate all refused by dose-over-maximum
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: judges the protocol as a whole
    }
`),
    ).toEqual([]);
  });

  test("a rule that would refuse a step the protocol does not have", () => {
    expect(
      disagreements(`
    scenario "No such step" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided
      expect give local refused by early-release
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: has no such step
    }
`),
    ).toEqual([]);
  });

  test("a time that is past", () => {
    expect(
      disagreements(`
    scenario "Back in time" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided
      run to end of local
      after 12 min task "Reduce and splint" ends
      after 30 min expect deflate all for 10 s allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed
      after 12 min expect deflate all for 10 s refused by early-release
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: It is 30 min after the end of \`local\` (32:30) already
    }
`),
    ).toEqual([]);
  });

  test("a dose or a pressure that rests on what is not said of the patient", () => {
    expect(
      disagreements(`
    scenario "Only an age" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided
      patient age 30 years
      expect dose local is 200 mg
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: say with \`patient\` all that it rests on
      expect pressure is 250 mmHg
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: say with \`patient\` all that it rests on
    }
    scenario "An infusion" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided
      patient weight 60 kg
      expect dose lipid-infusion is 720 mL
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: is given at a rate
    }
`),
    ).toEqual([]);
  });
});

test("what is not decided never hides a failure, and one pass does not make up for it", () => {
  const [failed, open] = resultsOf(`
scenario "One of each" for wrist-reduction {
  patient weight 60 kg
  expect dose local is 180 mg
  expect dose local is 200 mg
  expect pressure is 250 mmHg
}
scenario "One pass" for wrist-reduction {
  patient weight 60 kg
  expect dose local is 180 mg
  expect pressure is 250 mmHg
}
`);
  expect([failed?.outcome, open?.outcome]).toEqual(["failed", "not-decided"]);
});
