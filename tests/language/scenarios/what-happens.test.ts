import { describe, expect, test } from "vitest";
import { ASKING, disagreements } from "./marked-scenarios.ts";

describe("a run goes to", () => {
  test("the first inflation, the start and the end of a dose and of a stage, and the release", () => {
    expect(
      disagreements(`
    scenario "Moments" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed
      run to first inflation
      expect confirm distal allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: at the first inflation (1:00)
      run to start of local
      expect inject local allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed: is not what comes next
      run to end of local
      expect remove cannula allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: at the end of \`local\` (2:30)
      run to start of procedure
      expect task "Reduce and splint" allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: at the start of \`procedure\` (7:30)
      run to end of procedure
      expect deflate all for 10 s allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: at the end of \`procedure\` (47:30)
    }
`),
    ).toEqual([]);
  });

  test("the release, from which the rest is counted", () => {
    expect(
      disagreements(`
    scenario "Release" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed
      run to release
      expect deflate all due at 140 s
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: at the release
    }
`),
    ).toEqual([]);
  });
});

describe("a line is judged at its instant", () => {
  test("before steps that begin then, and after what has happened until then", () => {
    expect(
      disagreements(`
    scenario "Between two deflations" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed
      run to end of local
      after 12 min task "Reduce and splint" ends
      after 30 min expect deflate all for 10 s allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: (32:30)
      after 31 min expect deflate all for 10 s allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed: comes too early at 33:30
      after 1870 s expect deflate all for 10 s allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: (33:40)
    }
`),
    ).toEqual([]);
  });

  test("and time that is not said does not pass", () => {
    expect(
      disagreements(`
    scenario "At the beginning" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed
      expect apply cuffs allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: at the beginning (0:00)
      expect inflate distal allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed: is not what comes next
    }
`),
    ).toEqual([]);
  });
});

describe("what happens", () => {
  test("an event strikes the step in hand, and its handler begins", () => {
    expect(
      disagreements(`
    scenario "The cuff hurts" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed
      run to end of local
      after 20 min event tourniquet-pain happens
      expect inflate distal allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: (22:30)
      expect deflate proximal refused by no-cuff-up
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: would break \`no-cuff-up\`
    }
    scenario "It does not hurt" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed
      run to end of local
      after 20 min expect inflate distal allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed: is not what comes next
      expect inflate distal refused by no-toxicity-plan
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed: is not what comes next
    }
`),
    ).toEqual([]);
  });

  test("an event between two steps strikes the one that begins then", () => {
    expect(
      disagreements(`
    scenario "At once" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed
      run to start of procedure
      event tourniquet-pain happens
      expect inflate distal allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: at the start of \`procedure\` (7:30)
    }
`),
    ).toEqual([]);
  });

  test("a cuff leaks: the one that is up, or the one that is said", () => {
    expect(
      disagreements(`
    scenario "The cuff that is up" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed
      run to start of procedure
      event cuff-leak happens
      expect inflate all allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^ passed
    }
    scenario "The cuff that is said" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed
      run to start of procedure
      event cuff-leak of proximal happens
      expect inflate all allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^ passed
    }
    scenario "A cuff that is flat" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided
      run to start of procedure
      event cuff-leak of distal happens
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: The protocol provides for no \`distal loses pressure\` here
      expect inflate all allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: which could not be done
    }
    scenario "No cuff is up" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided
      event cuff-leak happens
  //  ^^^^^^^^^^^^^^^^^^^^^^^ not-decided: No cuff is up at 0:00: write which one leaks
      expect apply cuffs allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: which could not be done
    }
`),
    ).toEqual([]);
  });

  test("signs of toxicity lead into the emergency, whose tasks end when it is said", () => {
    expect(
      disagreements(`
    scenario "Toxicity" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed
      run to end of local
      after 20 min event toxicity-signs happens
      expect give lipid-bolus allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed: is not what comes next
      task "Stop. Call for help. A cuff that is up stays up." ends
      task "Oxygen, airway" ends
      task "Fitting: stop the seizure" ends
      task "No pulse: resuscitate; it may take over an hour" ends
      expect give lipid-bolus allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed
    }
`),
    ).toEqual([]);
  });

  test("a task ends as soon as it can, or when it is said", () => {
    expect(
      disagreements(`
    scenario "As soon as it can" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed
      run to end of local
      task "Reduce and splint" ends
      expect deflate all for 10 s due at 30 min
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed: 10 min after the end of \`local\` (12:30)
    }
    scenario "Too early" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided
      run to end of local
      after 7 min task "Reduce and splint" ends
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: It is allowed from 12:30.
      expect deflate all for 10 s allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ not-decided: which could not be done
    }
`),
    ).toEqual([]);
  });

  test("a question is answered, also whether a cuff is firm", () => {
    expect(
      disagreements(
        `
    scenario "No, then yes" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed
      answer "confirm proximal" no
      task "Find the leak" ends
      expect inflate proximal allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed
      run to start of procedure
      answer "Does the block cover the wound?" yes
      expect task "Reduce and splint" allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed
    }
    scenario "No" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed
      run to start of procedure
      answer "Does the block cover the wound?" no
      expect deflate all for 10 s allowed
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed: comes after the end of the protocol
      expect deflate all for 10 s refused by early-release
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed: comes after the end of the protocol
    }
`,
        ASKING,
      ),
    ).toEqual([]);
  });
});

describe("doses and pressures are compared exactly, for the patient of the scenario", () => {
  test("in mass or volume", () => {
    expect(
      disagreements(`
    scenario "Sixty kilograms" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed
      patient weight 60 kg, systolic 130 mmHg, age 40 years
      expect dose local is 180 mg
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed
      expect dose local is 36 mL
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^ passed
      expect dose lipid-bolus is 90 mL
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed
      expect pressure is 250 mmHg
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed
    }
    scenario "Otherwise" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed
      patient weight 60 kg, systolic 130 mmHg, age 40 years
      expect dose local is 181 mg
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed: \`local\` is 180 mg
      expect dose local is 35 mL
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^ failed: \`local\` is 36 mL
      expect pressure is 255 mmHg
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed: the pressure is 250 mmHg
    }
    scenario "The cap, and a high pressure" for wrist-reduction {
//  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed
      patient weight 90 kg
      patient systolic 175 mmHg
      expect dose local is 200 mg
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed
      expect pressure is 275 mmHg
  //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^ passed
    }
`),
    ).toEqual([]);
  });
});
