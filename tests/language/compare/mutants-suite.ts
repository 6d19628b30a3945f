import { expect, test } from "vitest";
import { type Mutant, mutantsOf } from "./mutants.ts";
import { comparedFile, exampleText, lines } from "./two-versions.ts";

/** Compares a protocol with every so manieth of its mutants: none may pass as unchanged, or as something it is not. */
export function testMutants(files: readonly string[], every: number): void {
  test.each(files)(`no mutant of %s is lost (1 of ${every})`, { timeout: 900_000 }, (file) => {
    const mutants = mutantsOf(exampleText(file)).filter((_, at) => at % every === 0);
    const lost = mutants.flatMap((mutant) => faultOf(file, mutant));
    expect(lost).toEqual([]);
    expect(mutants.length).toBeGreaterThan(80 / every);
    console.log(`${file}: ${mutants.length} mutants compared, none lost`);
  });
}

function faultOf(file: string, { says, text, expected }: Mutant): string[] {
  const comparison = comparedFile(file, {}, { [file]: text });
  const { outcome, changes, notCompared } = comparison;
  if (outcome === "nothing") return [`${says}: passes as unchanged`];
  const isRead = notCompared.length > 0 || expected.some((kind) => changes.some((one) => one.kind === kind));
  return isRead ? [] : [`${says}: expected ${expected.join(" or ")}, found ${lines(comparison).join(" | ")}`];
}
