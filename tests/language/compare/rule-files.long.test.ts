import type { ProtocolComparison } from "@limbwright/language";
import { expect, test } from "vitest";
import { someOf } from "../../questions.ts";
import { compared, compiled, versionOf } from "./compiled-sides.ts";
import { EDITS } from "./edits.ts";
import { mutantsOf } from "./mutants.ts";
import { comparedFile, exampleText, lines, siteOf, WRIST } from "./two-versions.ts";

const approved = compiled(siteOf({}), WRIST) ?? "";
const edits = EDITS.map(({ says, from, to }) => ({ says, text: exampleText(WRIST).replace(from, to) }));
const mutants = mutantsOf(exampleText(WRIST)).filter((_, at) => at % 5 === 0);

// Edits and mutants are compared with the rule file of what they changed.
test.each([...someOf(edits), ...someOf(mutants)])(
  "$says: the rule file tells it as the text does",
  ({ text }) => {
    const bySource = comparedFile(WRIST, {}, { [WRIST]: text });
    const byRuleFile = compared(versionOf(approved), [siteOf({ [WRIST]: text }), WRIST]);
    expect(lines(byRuleFile)).toEqual(lines(bySource));
    expect(byRuleFile.version).toEqual(bySource.version);
    expect(byRuleFile.times).toEqual(bySource.times);
    const shown = ({ changes }: ProtocolComparison) => changes.map(({ evidence }) => evidence.length);
    expect(shown(byRuleFile)).toEqual(shown(bySource));
  },
);
