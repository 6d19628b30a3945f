import type { ProtocolComparison } from "@limbwright/language";
import { expect, test } from "vitest";
import { compared, compiled, versionOf } from "./compiled-sides.ts";
import { EDITS } from "./edits.ts";
import { mutantsOf } from "./mutants.ts";
import { comparedFile, exampleText, lines, siteOf, WRIST } from "./two-versions.ts";

/** Compares one of so many edits and mutants with the rule file of what they changed: all is told as beside its text. */
export function testEdits(every: { readonly edits: number; readonly mutants: number }): void {
  const approved = compiled(siteOf({}), WRIST) ?? "";
  const edits = EDITS.map(({ says, from, to }) => ({ says, text: exampleText(WRIST).replace(from, to) }));
  const sample = [
    ...edits.filter((_, at) => at % every.edits === 0),
    ...mutantsOf(exampleText(WRIST)).filter((_, at) => at % every.mutants === 0),
  ];
  test.each(sample)("$says: the rule file tells it as the text does", { timeout: 60_000 }, ({ text }) => {
    const bySource = comparedFile(WRIST, {}, { [WRIST]: text });
    const byRuleFile = compared(versionOf(approved), [siteOf({ [WRIST]: text }), WRIST]);
    expect(lines(byRuleFile)).toEqual(lines(bySource));
    expect(byRuleFile.version).toEqual(bySource.version);
    expect(byRuleFile.times).toEqual(bySource.times);
    const shown = ({ changes }: ProtocolComparison) => changes.map(({ evidence }) => evidence.length);
    expect(shown(byRuleFile)).toEqual(shown(bySource));
  });
}
