import { Site } from "@limbwright/language";
import { describe, expect, test } from "vitest";
import { disagreements } from "./marked-reading.ts";

test("`when` stands directly in a stage or in `throughout`, nowhere else", () => {
  expect(
    disagreements(`
steps {
  inject local
  when patient-distress {
//^^^^^^^^^^^^^^^^^^^^^ statement-out-of-place: directly in a stage or in \`throughout\`
    watch 1 min
  }
  stage procedure {
    repeat 2 times {
      when hold reaches 45 min {
//    ^^^^^^^^^^^^^^^^^^^^^^^^ statement-out-of-place: directly in a stage or in \`throughout\`
        end stage
      }
    }
    when tourniquet-pain once {
      when cuff-leak {
//    ^^^^^^^^^^^^^^ statement-out-of-place: directly in a stage or in \`throughout\`
        inflate all
      }
    }
  }
}
`),
  ).toEqual([]);
});

test("`end stage` stands inside a stage, and may name one that holds it", () => {
  expect(
    disagreements(`
steps {
  inject local
  end stage
//^^^^^^^^^ statement-out-of-place: only stand inside a stage
  stage outer {
    stage inner {
      task "Splint"
      when hold reaches 40 min {
        end stage outer
      }
      when hold reaches 45 min {
        end stage
      }
    }
    end stage iner
//            ^^^^ name-unknown: Did you mean \`inner\`?
  }
}
throughout {
  when toxicity-signs {
    go to emergency toxicity
  }
  when patient-distress {
    end stage
//  ^^^^^^^^^ statement-out-of-place: only stand inside a stage
  }
}
`),
  ).toEqual([]);
});

test("a `when` that gives a dose, however deep, says how often", () => {
  expect(
    disagreements(`
throughout {
  when toxicity-signs {
    go to emergency toxicity
  }
  when block-incomplete {
//^^^^^^^^^^^^^^^^^^^^^ statement-missing: \`once\`, or \`up to N times\`
    ask "Enough left below the maximum?" {
      yes {
        repeat 2 times {
          inject local
        }
      }
      no { }
    }
  }
  when systolic-rises up to 2 times {
    inject local
  }
  when patient-distress {
    watch 1 min
  }
}
`),
  ).toEqual([]);
});

test("`throughout` holds no steps, and a protocol none outside its blocks", () => {
  expect(
    disagreements(`
throughout {
  watch 5 min
//^^^^^^^^^^^ statement-out-of-place: a step cannot stand there
}
  inject local
//^^^^^^^^^^^^ statement-out-of-place: outside \`steps\`
`),
  ).toEqual([]);
});

test("routines that lead back to themselves are reported once for each, where they do", () => {
  expect(
    disagreements(`
routine staged-release {
  do check
//^^^^^^^^ routine-in-a-circle: leads back to itself
}
routine check {
  watch 1 min
  do staged-release
//^^^^^^^^^^^^^^^^^ routine-in-a-circle: leads back to itself
}
steps {
  inject local
  do staged-release
  do check
}
`),
  ).toEqual([]);
});

test("what is wrong in a routine is reported once, where it is declared, however often it is done", () => {
  expect(
    disagreements(`
routine staged-release {
  deflate distl
//        ^^^^^ name-unknown: Did you mean \`distal\`?
  watch 5 cc
//      ^^^^ error-prone-unit: cc is misread
//      ^^^^ unit-mismatch: takes a time
}
steps {
  inject local
  do staged-release
  do staged-release
  do staged-relase
//   ^^^^^^^^^^^^^ name-unknown: Did you mean \`staged-release\`?
}
`),
  ).toEqual([]);
});

test("events, topics, places and monitors are words of short lists", () => {
  expect(
    disagreements(`
throughout {
  when toxicity-sign {
//     ^^^^^^^^^^^^^ word-not-known: Did you mean \`toxicity-signs\`?
    go to emergency toxicity
  }
}
prepare {
  iv-access  other-arm
//           ^^^^^^^^^ word-not-known: \`other-limb\`, \`same-limb\`
  monitoring ecg, capnography
//                ^^^^^^^^^^^ word-not-known: a text in quotes
}
steps {
  task oxygn "Oxygen"
//     ^^^^^ word-not-known: Did you mean \`oxygen\`?
}
`),
  ).toEqual([]);
});

test("a bound above its other bound is reported at the words that contradict each other", () => {
  expect(
    disagreements(`
dose local of lidocaine {
  amount 200 mg
  over   3 min to 90 s
//       ^^^^^^^^^^^^^ bounds-contradict: longer than the longest
}
  timer hold from end of local {
//^^^^^^^^^^^^^^^^^^^^^^^^^^^^ bounds-contradict: no time is both
    at least 50 min
    at most  30 min
  }
`),
  ).toEqual([]);
});

test("a dose is given into tissues that the language knows, and into no other place", () => {
  expect(
    disagreements(`
steps {
  give local as infiltration
  give local as nerve-block "Median nerve"
  give local as nerve-blok
//              ^^^^^^^^^^ word-not-known: Did you mean \`nerve-block\`?
}
`),
  ).toEqual([]);
});

/** What is refused of a dose that some step gives. */
function refusedIn(lines: string, steps: string, more = ""): string[] {
  const text = `agent lidocaine {\n  concentration 0.5 %\n}\nroutine shared {\n}\nprotocol wrist {\n  cuffs proximal on upper-arm {\n  }\n  dose local of lidocaine {\n${lines}\n  }\n  steps {\n${steps}\n  }\n${more}\n}\n`;
  const problems = new Site(() => text).file("a.limb")?.problems ?? [];
  return problems.filter(({ rule }) => rule === "statement-out-of-place").map(({ label }) => label);
}

const REPEATED = "amount 10 mg\n repeat 2 times every 5 min";
const AT_A_RATE = "rate 10 mg/h\n total up to 20 mg";

describe("what goes behind the cuff or into the tissues is given by steps alone", () => {
  test.each([
    ["in the plan", "inject local", ""],
    ["as infiltration", "give local as infiltration", ""],
    ["as a nerve block", "give local as nerve-block", ""],
    ["in one branch", 'ask "?" {\n yes {\n inject local\n }\n no {\n }\n }', ""],
    ["in a stage's handler", "stage s {\n when patient-distress once {\n inject local\n }\n }", ""],
    ["in a routine", "do own", "routine own {\n inject local\n }"],
    ["in an emergency", "wait 1 min", "emergency e {\n inject local\n }"],
    ["throughout", "wait 1 min", "throughout {\n when patient-distress once {\n inject local\n }\n }"],
  ])("%s", (_, steps, more) => {
    expect(refusedIn(REPEATED, steps, more)).toEqual([]);
    expect(refusedIn(AT_A_RATE, steps, more)).toEqual(["would run on beside the steps"]);
    expect(refusedIn("amount 10 mg", steps, more)).toEqual([]);
  });

  test("a dose into the circulation may be repeated, or run", () => {
    expect(refusedIn(REPEATED, "give local")).toEqual([]);
    expect(refusedIn(AT_A_RATE, "give local")).toEqual([]);
  });
});
