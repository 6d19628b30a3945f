import type { Severity } from "@limbwright/shared/finding";
import { secondsText } from "@limbwright/shared/quantity";
import type { Proof } from "@limbwright/shared/rule-file";
import type { Interchange, NotCoded, NotCodedList } from "./definitions.ts";
import { KEPT, RULE, stringOf } from "./elements.ts";
import type { OperationOutcome } from "./resources.ts";

/** Takes note of what a rule file carries and FHIR has no place for: what was proven, and how programs follow it. */
export function noteProof({ file, notCoded }: Interchange): void {
  const { proof, runs } = file;
  noteVerdicts(proof, notCoded);
  noteLocalRules(proof, notCoded);
  for (const { what } of proof.notJudged)
    notCoded.noteLeftOut("proof", `that no rule judged this text: ${what}`);
  const how = runs.kind === "explored" ? "" : `, which were not gone through: ${runs.limit}`;
  notCoded.noteLeftOut("runs", `the automaton of all runs that the protocol allows${how}`);
  notCoded.noteLeftOut(
    "runs",
    "that clocks never stop, and what goes first where several things are due at once",
  );
  notCoded.noteLeftOut("doses", "the tables to look doses up; their formulas are there");
  notCoded.noteLeftOut("sources", "the lines that each part is written in");
}

function noteVerdicts({ verdicts, catalogue }: Proof, notCoded: NotCodedList): void {
  const holding = verdicts.filter(({ kind }) => kind === "holds").length;
  notCoded.noteLeftOut("proof", `${holding} rules hold, by version ${catalogue} of the catalogue`);
  for (const verdict of verdicts) {
    for (const [part, what] of verdictNotes(verdict)) notCoded.noteLeftOut(part, what);
  }
}

function verdictNotes(verdict: Proof["verdicts"][number]): (readonly [part: string, what: string])[] {
  const part = `rule ${verdict.rule}`;
  switch (verdict.kind) {
    case "holds":
      return (verdict.assumptions ?? []).map((one) => ["proof", assumptionWords(one)]);
    case "broken":
      return [
        ...verdict.unsafe.map(({ what }) => [part, `broken: ${what}`] as const),
        ...(verdict.open === undefined ? [] : [[part, `not decided: ${verdict.open}`] as const]),
      ];
    case "answered":
      return [[part, "that it holds by what local rules answer, and is not proven"]];
    case "not-decided":
      return [[part, `not decided: ${verdict.limit}`]];
  }
}

function noteLocalRules({ localRules, accepted, answers, parameters }: Proof, notCoded: NotCodedList): void {
  if (localRules !== undefined)
    notCoded.noteLeftOut("proof", `that it was judged by the local rules ${localRules}`);
  for (const { name, value, unit, because, from } of parameters) {
    const why = because === undefined ? "" : `: ${because}`;
    if (from === "local-rules")
      notCoded.noteLeftOut(`parameter ${name}`, `${value} ${unit} by local rules${why}`);
  }
  for (const { agent, limit, source, because, by, until } of answers) {
    const what = `its maximum of ${limit.value} ${limit.unit} is answered until ${until} by ${by}, from ${source}: ${because}`;
    notCoded.noteLeftOut(`agent ${agent}`, what);
  }
  for (const { rule, subject, upTo, because, by, until } of accepted) {
    const what = `${subject === undefined ? "" : ` of ${subject}`}${upTo ? ` up to ${upTo.value} ${upTo.unit}` : ""}`;
    notCoded.noteLeftOut(
      `rule ${rule}`,
      `its findings${what} are accepted until ${until} by ${by}: ${because}`,
    );
  }
}

function assumptionWords({ what, bound, seconds }: { what: string; bound: string; seconds: number }): string {
  return `the assumption that ${what} takes ${bound === "longest" ? "at most" : "at least"} ${secondsText(seconds)}`;
}

/** What is not coded, as part of the Bundle. */
export function notCodedOutcome(all: readonly NotCoded[]): OperationOutcome {
  return {
    resourceType: "OperationOutcome",
    id: "not-coded",
    issue: all.map(({ kept, part, what }) => ({
      severity: kept === "left-out" ? "warning" : "information",
      code: "not-supported",
      details: { coding: [{ system: KEPT, code: kept }], text: stringOf(notCodedText({ kept, part, what })) },
    })),
  };
}

function notCodedText({ kept, part, what }: NotCoded): string {
  return `${kept === "left-out" ? "Left out" : "In words only"}: ${part}: ${what}.`;
}

/** The findings of a draft. */
export function findingsOutcome({ file }: Interchange): OperationOutcome | undefined {
  const { findings = [] } = file;
  if (findings.length === 0) return undefined;
  return {
    resourceType: "OperationOutcome",
    id: "findings",
    issue: findings.map(({ severity, rule, what, accepted }) => ({
      severity: SEVERITIES[severity],
      code: "business-rule",
      details: {
        coding: [{ system: RULE, code: rule }],
        text: stringOf(`${severity}: ${what}${accepted ? " (accepted)" : ""}`),
      },
    })),
  };
}

const SEVERITIES: Readonly<Record<Severity, "error" | "warning" | "information">> = {
  error: "error",
  unsafe: "error",
  doubtful: "warning",
  advice: "information",
};
