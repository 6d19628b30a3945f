import {
  type ComparisonSection,
  compareSites,
  comparisonBody,
  comparisonSection,
  type ProtocolComparison,
  readCompiledVersion,
  refusalOf,
  Site,
} from "@limbwright/language";
import { markupText } from "@limbwright/shared/text";
import type { ProverAnswer, ProverRequest } from "./prover-messages.ts";

/** Compares files of a site with what they were, as markup. */
export function compareInProver(
  site: Site,
  { before, now, on, task }: Extract<ProverRequest, { kind: "compare" }>,
  isCancelled: () => boolean,
): ProverAnswer {
  const kept = before.ruleFile && readKeptVersion(before.ruleFile);
  if (kept && "refused" in kept) return { task, compared: kept };
  const protocols: ProtocolComparison[] = [];
  const sections: ComparisonSection[] = [];
  const earlier = {
    ...before,
    site: new Site((file) => before.texts.get(file)),
    ...(kept && { compiled: [kept] }),
  };
  const comparing = compareSites(earlier, { ...now, site }, { on, isCancelled });
  let step = comparing.next();
  for (; !step.done && !isCancelled(); step = comparing.next()) {
    protocols.push(step.value.comparison);
    sections.push(comparisonSection(step.value, sections.length + 1));
  }
  // What was cut short says less than there is.
  if (!step.done || isCancelled()) return { task };
  const comparison = { protocols, notCompared: step.value };
  const report = { before: before.name, now: now.name, on, comparison };
  return { task, compared: { markup: markupText(comparisonBody(report, sections)) } };
}

function readKeptVersion({ path, text }: { readonly path: string; readonly text: string }) {
  const reading = readCompiledVersion(path, text);
  if (reading.kind === "read") return reading.version;
  const { what, next } = refusalOf(path, reading.because);
  return { refused: `${what} ${next}` };
}
