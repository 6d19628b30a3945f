import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { disagreements, disagreementsIn } from "./marked-reading.ts";

const BASE = join(import.meta.dirname, "../../rules/base");
const base = (file: string) => readFileSync(join(BASE, file), "utf8");

/** The base protocol with one stretch of its text replaced. */
function changed(from: string, to: string): Record<string, string> {
  const protocol = base("protocol.limb");
  if (!protocol.includes(from)) throw new Error(`the base protocol does not say ${from}`);
  return {
    "protocol.limb": protocol.replace(from, to),
    "formulary.limb": base("formulary.limb"),
    "local-rules.limb": base("local-rules.limb"),
  };
}

test("the base protocol is read without a word", () => {
  expect(disagreementsIn(changed("staff       2", "staff       2"))).toEqual([]);
});

test("a misspelt section is set aside with its block, and everything else is still understood", () => {
  const timer = "  timer hold from end of local {";
  const marked = `  timr hold from end of local {\n//^^^^ text-not-understood: Did you mean \`timer\`?`;
  expect(disagreementsIn(changed(timer, marked))).toEqual([]);
});

test("a misspelt step with a block is set aside with it, and its names are not missed elsewhere", () => {
  expect(
    disagreements(`
steps {
  inflate proximal
  confirm proximal
  inject local
  stge procedure {
//^^^^ text-not-understood: Did you mean \`stage\`?
    task "Reduce and splint" takes 5 min or more
    when hold reaches 45 min {
      end stage
    }
  }
  wait for hold
  deflate all
  recovry 30 min
//^^^^^^^ text-not-understood: Did you mean \`recovery\`?
}
`),
  ).toEqual([]);
});

test("a word that is near nothing gets no suggestion", () => {
  expect(
    disagreements(`
steps {
  inflate proximal
  xylophone 5 min
//^^^^^^^^^ text-not-understood: or as a comment after //
}
`),
  ).toEqual([]);
});

test("a misspelt word in the middle of a line is named, and the line alone is lost", () => {
  expect(
    disagreements(`
dose local of lidocaine {
  amount 3 mg/kg upto 200 mg
//               ^^^^ text-not-understood: Did you mean \`up to\`?
  over   90 s too 3 min
//            ^^^ text-not-understood: does not fit here
}
timer hold form end of local {
//         ^^^^ text-not-understood: should come \`from\`, not \`form\`
  at least 30 min
}
`),
  ).toEqual([]);
});

test("a row of a table that is not understood is one finding", () => {
  expect(
    disagreements(`
dose local of lidocaine {
  amount by weight {
    up to 70 kg   30 mL
//  ^^ text-not-understood: does not fit here
    over 70 kg    35 mL
  }
  over 90 s to 3 min
}
timer hold from end of local {
  at least 30 mins
//         ^^^^^^^ unit-not-known: Write \`30 min\`.
}
`),
  ).toEqual([]);
});

test("what a line lacks at its end is named", () => {
  expect(
    disagreements(`
steps {
  inflate
//^^^^^^^ text-not-understood: Complete the line with the name of a cuff, or \`all\`.
  confirm proximal
  task
//^^^^ text-not-understood: a text in quotes
  wait
//^^^^ text-not-understood: a time such as \`5 min\`
  inject local
}
`),
  ).toEqual([]);
});

test("a word of the language cannot be a name", () => {
  expect(
    disagreements(`
timer wait from end of local {
//    ^^^^ text-not-understood: cannot be a name
  at least 30 min
}
`),
  ).toEqual([]);
});

test("curly quotes are read, a quote that is not closed ends with its line, and both are named", () => {
  expect(
    disagreements(`
steps {
  inflate proximal \u201ctight\u201d
//                 ^^^^^^^ text-not-understood: straight quotes
  task "Reduce takes 5 min
//     ^^^^^^^^^^^^^^^^^^^ text-not-understood: no closing quote on its line
  stage procedure "by the surgeon {
//                ^^^^^^^^^^^^^^^^ text-not-understood: no closing quote on its line
    task "Splint" takes 5 min
  }
  recovery 30 min
}
`),
  ).toEqual([]);
});

test("braces in texts and comments are no braces", () => {
  expect(
    disagreements(`
steps {
  inflate proximal "{ tight" // and } so on {
  recovery 30 min
}
`),
  ).toEqual([]);
});

test("a dash for a range and a sign that belongs to nothing are named at the sign", () => {
  expect(
    disagreements(`
patients {
  age      16\u201385 years
//           ^ text-not-understood: or \`to\` for a range
  weight   45 - 130 kg
//            ^ text-not-understood: with \`to\`, not with a dash
  systolic 90 to 180 mmHg;
//                       ^ text-not-understood: start it on a line of its own
  circumference 25 to 40 cm #
//                          ^ text-not-understood: belongs to nothing in the language
}
`),
  ).toEqual([]);
});

test.each([
  ["a stage", "        end stage\n      }\n    }\n\n", "        end stage\n      }\n\n", "    wait"],
  ["a handler", "        end stage\n      }\n", "        end stage\n", "    }"],
  ["a dose", "to 3 min\n  }\n\n", "to 3 min\n\n", "  timer"],
  ["the patients", 'disease"\n  }\n\n', 'disease"\n\n', "  cuffs"],
])(
  "a closing brace that %s lacks is asked for where the next line stands too far out",
  (_of, from, to, next) => {
    const indent = next.length - next.trimStart().length;
    const mark = `//${" ".repeat(indent - 2)}${"^".repeat(next.trim().length)}`;
    const files = changed(from, to);
    const text = files["protocol.limb"] ?? "";
    const start = text.indexOf(`\n${next}`, text.indexOf(to) + to.length - 2);
    const end = text.indexOf("\n", start + 1);
    const marked = `${text.slice(0, end)}\n${mark} text-not-understood: closing brace } is missing before it${text.slice(end)}`;
    expect(disagreementsIn({ ...files, "protocol.limb": marked })).toEqual([]);
  },
);

test("a closing brace that the protocol lacks is asked for where the next declaration starts", () => {
  const files = changed("5 min\n  }\n}\n", "5 min\n  }\n");
  const lines = (files["protocol.limb"] ?? "").split("\n");
  const next = lines.indexOf("routine staged-release {") + 1;
  expect(disagreementsIn(files)).toEqual([`found, not marked: ${next}:1-8 text-not-understood`]);
});

test("a closing brace that the last block lacks is asked for at the last line of the file", () => {
  const files = changed("  deflate all\n}\n", "  deflate all\n");
  const last = (files["protocol.limb"] ?? "").trimEnd().split("\n").length;
  expect(disagreementsIn(files)).toEqual([`found, not marked: ${last}:11-14 text-not-understood`]);
});

test.each([
  ["steps", "  steps {", "  steps", "  steps\n//^^^^^ text-not-understood: An opening brace { is missing"],
  [
    "a timer",
    "from end of local {",
    "from end of local",
    "from end of local\n//                       ^^^^^ text-not-understood: An opening brace { is missing",
  ],
  [
    "a handler",
    "tourniquet-pain once {",
    "tourniquet-pain once",
    "tourniquet-pain once\n//                         ^^^^ text-not-understood: An opening brace { is missing",
  ],
])("an opening brace that %s lacks is asked for on its line", (_of, from, _without, marked) => {
  expect(disagreementsIn(changed(from, marked))).toEqual([]);
});

test.each([
  [
    "after a section",
    "    at most  50 min\n  }\n\n  prepare {",
    "    at most  50 min\n  }\n  }\n//^ text-not-understood: closes nothing\n\n  prepare {",
  ],
  [
    "in a stage",
    "takes 5 min or more\n\n      when tourniquet-pain once {",
    "takes 5 min or more\n    }\n\n      when tourniquet-pain once {\n//    ^^^^^^^^^^^^^^^^^^^^^^^^^ statement-out-of-place: directly in a stage",
  ],
  [
    "in a handler",
    "        deflate proximal\n      }\n      when systolic-rises {",
    "        deflate proximal\n      }\n      }\n//    ^ text-not-understood: closes nothing\n      when hold reaches 45 min {",
  ],
  [
    "in a dose of an emergency",
    "      rate  15 mL/kg/h\n      total up to 12 mL/kg",
    "      rate  15 mL/kg/h\n    }\n      total up to 12 mL/kg\n//    ^^^^^ text-not-understood: a closing brace } too many",
  ],
])(
  "a closing brace too many %s is one finding, at the brace or at the first statement it puts out of place",
  (_where, from, to) => {
    expect(disagreementsIn(changed(from, to))).toEqual([]);
  },
);

test("an opening brace too many is named", () => {
  expect(
    disagreementsIn(
      changed(
        "    wait for hold\n",
        "    {\n//  ^ text-not-understood: opening brace belongs to no statement\n    wait for hold\n",
      ),
    ),
  ).toEqual([]);
});

test("all slips of a file are reported, each once, and nothing else", () => {
  expect(
    disagreementsIn({
      "protocol.limb": `use "formulary.limb"
use "formulry.limb"
//  ^^^^^^^^^^^^^^^ use-not-found: no file \`formulry.limb\`

protocol Wrist_Reduction "Wrist fracture reduction under IVRA" {
//       ^^^^^^^^^^^^^^^ name-badly-written: wrist-reduction
  version   1.4
//          ^^^ version-not-complete: Write \`1.4.0\`.
  status    draft
  review by 2027-02-30
//          ^^^^^^^^^^ date-not-real: in the calendar

  patients {
    age      16 to 85 years
    weight   45 to 130
//                 ^^^ unit-missing: has no unit
//           ^^ unit-missing: has no unit
    systolic 180 to 90 mmHg
//           ^^^^^^^^^^^^^^ bounds-contradict: The range is empty
    contraindicated alergy
//                  ^^^^^^ word-not-known: Did you mean \`allergy\`?
  }

  cuffs proximal "grey", distal \u201cwhite\u201d on upper-arm {
//                              ^^^^^^^ text-not-understood: straight quotes
    pressure systolic-100 mmHg
//           ^^^^^^^^^^^^^^^^^ number-badly-written: systolic - 100 mmHg
    ceiling  300 mg
//           ^^^^^^ unit-mismatch: takes a pressure
  }

  dose local of lignocaine {
    amount 3,0 mg/kg up to 40.0 cc
//         ^^^^^^^^^ number-badly-written: is read as 3
//                         ^^^^^^^ trailing-zero: Write \`40 mL\`.
//                         ^^^^^^^ error-prone-unit: cc is misread
    amount 200 mg
//  ^^^^^^^^^^^^^ statement-twice: only the first is read
    ovr 90 s
//  ^^^ text-not-understood: Did you mean \`over\`?
  }

  steps {
    inflate proxmal
//          ^^^^^^^ name-unknown: Did you mean \`proximal\`?
    inject local
    when toxicity-signs { go to emergency toxicity }
//  ^^^^^^^^^^^^^^^^^^^ statement-out-of-place: directly in a stage
    wait for hold
    deflate all
    end stage
//  ^^^^^^^^^ statement-out-of-place: inside a stage
    recovery 30 min
  }

  timer hold from end of local {
    at least 30 minuts
//           ^^^^^^^^^ unit-not-known: not a unit the language knows
  }

  emergency toxicity {
    task help "Call for help"
  }
}
`,
      "formulary.limb": base("formulary.limb"),
    }),
  ).toEqual([]);
});
