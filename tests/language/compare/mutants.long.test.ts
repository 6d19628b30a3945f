import { readdirSync } from "node:fs";
import { expect, test } from "vitest";
import { someOf } from "../../questions.ts";
import { type Mutant, mutantsOf } from "./mutants.ts";
import { comparedFile, exampleText, lines, WRIST } from "./two-versions.ts";

const PROTOCOLS = readdirSync(new URL("../../../examples/tarn-hollow/protocols", import.meta.url)).map(
  (file) => `protocols/${file}`,
);

// No mutant may pass as unchanged, or as something it is not. Of the protocol that shows most all are taken.
test.each(PROTOCOLS)("no mutant of %s is lost", (file) => {
  const all = mutantsOf(exampleText(file)).filter((_, at) => file === WRIST || at % 3 === 0);
  const mutants = someOf(all);
  expect(mutants.flatMap((mutant) => faultOf(file, mutant))).toEqual([]);
  expect(all.length).toBeGreaterThan(file === WRIST ? 80 : 26);
  console.info(`${file}: ${mutants.length} mutants compared, none lost`);
});

function faultOf(file: string, { says, text, expected }: Mutant): string[] {
  const comparison = comparedFile(file, {}, { [file]: text });
  const { outcome, changes, notCompared } = comparison;
  if (outcome === "nothing") return [`${says}: passes as unchanged`];
  const isRead = notCompared.length > 0 || expected.some((kind) => changes.some((one) => one.kind === kind));
  return isRead ? [] : [`${says}: expected ${expected.join(" or ")}, found ${lines(comparison).join(" | ")}`];
}
