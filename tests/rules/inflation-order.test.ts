import { verifyRuleFile } from "@limbwright/language";
import { describe, expect, test } from "vitest";
import { baseTexts, textFrom } from "../language/rule-file/compiled.ts";
import { checkExample } from "./page-examples.ts";

const RULE = "wrong-inflation-order";

function protocolWith(setting: string, steps: string): string {
  return `use "formulary.limb"
local-rules own {
  ${setting}
}
protocol small "Small" {
  version 0.1.0
  status draft
  local-rules own
  patients {
    age 16 to 85 years
    weight 45 to 130 kg
    systolic 90 to 180 mmHg
  }
  cuffs proximal, distal on upper-arm {
    pressure systolic + 100 mmHg
    ceiling 300 mmHg
  }
  dose local of lidocaine {
    amount 3 mg/kg up to 200 mg
    over 90 s
  }
  steps {
    insert cannula
    ${steps}
    inject local
    wait 30 min
    deflate all
    recovery 30 min
  }
}`;
}

function judged(setting: string, steps: string) {
  const { check } = checkExample(protocolWith(setting, steps));
  const [protocol] = check.protocols;
  return {
    verdict: protocol?.verdicts.find(({ rule }) => rule === RULE)?.kind,
    what: protocol?.findings.filter(({ rule }) => rule === RULE).map(({ what }) => what),
    errors: check.findings.filter(({ severity }) => severity === "error").map(({ what }) => what),
  };
}

const ALONE = `exsanguinate by elevation 3 min
    inflate proximal
    confirm proximal`;

const BOTH = `exsanguinate by elevation 3 min
    inflate distal
    confirm distal
    inflate proximal
    confirm proximal
    deflate distal`;

const order = (word: string) => `set ${RULE}.order ${word}`;

describe("the order of inflation", () => {
  test.each([
    ["set action-time 75 s", ALONE],
    ["set action-time 75 s", BOTH],
    [order("either"), BOTH],
    [order("proximal-alone"), ALONE],
    [order("both-then-proximal"), BOTH],
  ])("passes where local rules say nothing else: %s", (setting, steps) => {
    expect(judged(setting, steps)).toEqual({ verdict: "holds", what: [], errors: [] });
  });

  test("is the proximal cuff alone where local rules say so", () => {
    expect(judged(order("proximal-alone"), BOTH)).toEqual({
      verdict: "broken",
      what: ["`distal` is inflated before the injection."],
      errors: [],
    });
  });

  test("lets both cuffs be tried before the limb is emptied", () => {
    const tried = `inflate all\n    confirm all\n    deflate all\n    ${ALONE}`;
    expect(judged(order("proximal-alone"), tried).verdict).toBe("holds");
  });

  test("is both cuffs first where local rules say so", () => {
    expect(judged(order("both-then-proximal"), ALONE).what).toEqual([
      "The injection comes without `distal` having been inflated, and local rules ask for both cuffs first.",
    ]);
    const unconfirmed = BOTH.replace("confirm distal\n", "");
    expect(judged(order("both-then-proximal"), unconfirmed).what).toEqual([
      "`distal` can be let down before both cuffs are up and confirmed.",
    ]);
  });
});

describe("a parameter that is a choice of words", () => {
  test("names the choice that was meant, and the standard is used", () => {
    const { errors, verdict } = judged(order("proximal-alon"), BOTH);
    expect(errors).toEqual([
      "`proximal-alon` is none of the choices of `order`; the standard is used instead.",
    ]);
    expect(verdict).toBe("not-decided");
  });

  test("takes no amount", () => {
    expect(judged(order("5 min"), BOTH).errors).toEqual(["`order` takes a word."]);
  });

  test("is read back from a rule file, where it stands as its place among the choices", () => {
    const own = `local-rules tarn-hollow {\n  ${order("both-then-proximal")}\n}\n`;
    const text = textFrom(baseTexts({ "local-rules.limb": own }), "protocol.limb", { draft: true });
    const file = JSON.parse(text);
    const verdict = file.proof.verdicts.find(({ rule }: { rule: string }) => rule === RULE);
    expect(verdict).toMatchObject({ kind: "holds", parameters: [{ name: "order", value: "2" }] });
    expect(verifyRuleFile(text)).toMatchObject({ kind: "agrees", differences: [] });
  });
});
