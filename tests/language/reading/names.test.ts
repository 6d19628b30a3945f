import { expect, test } from "vitest";
import { disagreements, disagreementsIn } from "./marked-reading.ts";

const AGENT = 'agent lidocaine {\n  kind local-anaesthetic\n  concentration 0.5 %\n  source "Formulary"\n}\n';

function protocol(body: string): string {
  return `protocol wrist "Wrist" {
  version 1.0.0
  status draft
  patients {
    age      16 to 85 years
    systolic 90 to 180 mmHg
    weight   45 to 130 kg
  }
  cuffs proximal, distal on upper-arm {
    pressure 250 mmHg
    ceiling  300 mmHg
  }
${body}
}
`;
}

const DOSE = "  dose local of lidocaine {\n    amount 3 mg/kg\n    over   90 s\n  }\n";

test.each([
  ["lidocaine", "lignocaine"],
  ["lignocaine", "lidocaine"],
  ["adrenaline", "epinephrine"],
  ["methylthioninium", "methylene-blue"],
])("an agent declared as %s is found as %s", (declared, used) => {
  const agent = AGENT.replace("agent lidocaine", `agent ${declared}`);
  const dose = DOSE.replace("lidocaine", used);
  expect(disagreementsIn({ "a.limb": agent + protocol(`${dose}  steps {\n    inject local\n  }`) })).toEqual(
    [],
  );
});

test.each([
  ["local-anaesthetic", "methaemoglobinaemia", "lymphoedema"],
  ["local-anesthetic", "methemoglobinemia", "lymphedema"],
])("%s, %s and %s are words of the language", (kind, condition, other) => {
  expect(
    disagreementsIn({
      "a.limb": `agent lidocaine {
  kind ${kind}
}
${protocol(`${DOSE}  steps {
    inject local
  }`).replace("130 kg\n", `130 kg\n    contraindicated ${condition}\n    caution ${other}\n`)}`,
    }),
  ).toEqual([]);
});

test("two agents of one name are reported, also in two spellings and across files", () => {
  expect(
    disagreementsIn({
      "a.limb": `use "b.limb"
agent lignocaine {
//    ^^^^^^^^^^ name-twice: another name of \`lidocaine\`
  kind local-anaesthetic
}
agent prilocaine {
  kind local-anaesthetic
}
agent prilocaine {
//    ^^^^^^^^^^ name-twice: declared twice
  kind local-anaesthetic
}
`,
      "b.limb": AGENT,
    }),
  ).toEqual([]);
});

test("the names of one protocol differ from each other, whatever they name", () => {
  expect(
    disagreementsIn({
      "a.limb":
        AGENT +
        protocol(`${DOSE}  timer local from end of local {
//      ^^^^^ name-twice: declared twice
    at least 30 min
  }
  steps {
    stage proximal {
//        ^^^^^^^^ name-twice: declared twice
      inject local
    }
  }`),
    }),
  ).toEqual([]);
});

test("two protocols may have a name each, and neither sees the other's", () => {
  const second = protocol(`${DOSE.replace("local of", "other of")}  steps {
    inject local
//         ^^^^^ name-unknown: No dose is called \`local\`.
  }`).replace("protocol wrist", "protocol ankle");
  expect(
    disagreementsIn({ "a.limb": AGENT + protocol(`${DOSE}  steps {\n    inject local\n  }`) + second }),
  ).toEqual([]);
});

test("a name holds in the whole protocol, however deep it is declared", () => {
  expect(
    disagreementsIn({
      "a.limb":
        AGENT +
        protocol(`${DOSE}  timer since-start from start of operate {
    at least 5 min
  }
  steps {
    ask "Ready?" {
      yes {
        stage operate {
          inject local
          when tourniquet-pain once {
            inflate distal
          }
        }
      }
      no { }
    }
    wait for since-start
    go to emergency toxicity
  }
  emergency toxicity {
    dose extra of lidocaine {
      amount 10 mg
      over 60 s
    }
    give extra
  }`),
    }),
  ).toEqual([]);
});

test("a name is suggested only when one is close", () => {
  expect(
    disagreements(`
steps {
  inflate proxmal
//        ^^^^^^^ name-unknown: Did you mean \`proximal\`?
  inflate dsital
//        ^^^^^^ name-unknown: Did you mean \`distal\`?
  inflate arm
//        ^^^ name-unknown: Declare it, or name one that is declared
  inject anaesthetic
//       ^^^^^^^^^^^ name-unknown: Declare it, or name one that is declared
  wait for hlod
//         ^^^^ name-unknown: Write it in the protocol, as in
}
`),
  ).toEqual([]);
});

test("capitals and underscores in a name are read, and reported where it is declared", () => {
  expect(
    disagreements(`
dose Top_Up of lidocaine {
//   ^^^^^^ name-badly-written: top-up
  amount 20 mg
  over   60 s
}
timer sinceTopUp from end of Top_Up {
//    ^^^^^^^^^^ name-badly-written: since-top-up
  at least 5 min
}
`),
  ).toEqual([]);
});

test("a name that stands in text which is not understood is not missed", () => {
  expect(
    disagreements(`
  timr tourniquet from end of local {
//^^^^ text-not-understood: Did you mean \`timer\`?
    at least 30 min
  }
steps {
  inject local
  wait for tourniquet
  deflate all
}
`),
  ).toEqual([]);
});
