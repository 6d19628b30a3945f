import { type RuleFile, type RuleFileFault, readRuleFile } from "@limbwright/shared/rule-file";
import { differencesBetween } from "./differences.ts";
import { isJudgedAgain, proveAgain } from "./prove-again.ts";

/** One thing that was recomputed from the file and came out otherwise than the file says. */
/** A rule that is not judged again: the file says itself that it is open, or it is about a text that is not in the file. */
export interface NotProven {
  readonly rule: string;
  readonly kind: "not-decided" | "of-the-text";
  readonly reason: string;
}

export interface Difference {
  /** JSON Pointer of the place in the file. */
  readonly where: string;
  /** A sentence: what the file says and what was recomputed. */
  readonly what: string;
}

/**
 * What a rule file is worth. `unreadable`: it is no rule file, or not whole. `differs`: it is whole, but
 * something it claims is not what its own contents prove. `agrees`: everything that can be proven again from
 * the file alone was, and came out the same.
 */
export type Verification =
  | { readonly kind: "unreadable"; readonly faults: readonly RuleFileFault[] }
  | {
      readonly kind: "differs" | "agrees";
      readonly protocol: string;
      readonly version: string;
      readonly use: "draft" | "protocol";
      readonly meaning: string;
      readonly proof: string;
      readonly differences: readonly Difference[];
      /** The rules that were judged again. */
      readonly proven: readonly string[];
      /** The rules that cannot be judged again from the file, each with the reason. */
      readonly notProven: readonly NotProven[];
    };

export interface VerifyOptions {
  /** The meaning digest that was approved ("sha256:…"); another one is a difference. */
  readonly meaning?: string;
  /** The same for the proof: what the hospital set and accepted can be told from nothing else in the file. */
  readonly proof?: string;
}

/**
 * Checks a rule file from its text alone: both digests, then the tables, the runs with their automaton, the
 * verdicts with their parameters and assumptions, and the findings of a draft, all computed again from the
 * formulas and the steps in the file. Where things are written (`origins`, `sources`) cannot be checked without
 * the sources: compile them again for that.
 */
export function verifyRuleFile(text: string, options: VerifyOptions = {}): Verification {
  const reading = readRuleFile(text);
  if (reading.kind === "refused") return { kind: "unreadable", faults: reading.faults };
  const { file } = reading;
  const differences = [...approvalDifferences(file, options), ...contentDifferences(file)];
  const rules = file.proof.verdicts.map(({ rule, kind }) => ({ rule, kind }));
  return {
    kind: differences.length === 0 ? "agrees" : "differs",
    protocol: file.protocol.name,
    version: file.protocol.version,
    use: file.use,
    ...file.digests,
    differences,
    proven: rules.filter(isProven).map(({ rule }) => rule),
    notProven: rules
      .filter((one) => !isProven(one))
      .map(({ rule, kind }) =>
        kind === "not-decided"
          ? { rule, kind: "not-decided", reason: NOT_DECIDED }
          : { rule, kind: "of-the-text", reason: OF_THE_TEXT },
      ),
  };
}

function isProven({ rule, kind }: Pick<RuleFile["proof"]["verdicts"][number], "rule" | "kind">): boolean {
  return kind !== "not-decided" && isJudgedAgain(rule);
}

const NOT_DECIDED = "the file says that it is not decided";
const OF_THE_TEXT = "it is about the text of the protocol, which is not in the file";

function approvalDifferences({ digests }: RuleFile, expected: VerifyOptions): Difference[] {
  return (["meaning", "proof"] as const).flatMap((name) => {
    const wanted = expected[name];
    if (wanted === undefined || wanted === digests[name]) return [];
    const what = `This is another file than the one with the ${name} ${wanted}: it has ${digests[name]}.`;
    return [{ where: `/digests/${name}`, what }];
  });
}

function contentDifferences(file: RuleFile): Difference[] {
  const again = proveAgain(file);
  if ("senseless" in again) {
    return [{ where: "/protocol", what: `The protocol makes no sense: ${again.senseless}.` }];
  }
  return [
    ...differencesBetween(file.protocol, again.protocol, "/protocol"),
    ...differencesBetween(file.proof, again.proof, "/proof"),
    ...firstOf(differencesBetween(file.runs, again.runs, "/runs")),
    ...differencesBetween(file.findings, again.findings, "/findings"),
    ...(again.isRefused
      ? [{ where: "/use", what: "An unsafe finding stands, but the file is no draft." }]
      : []),
  ];
}

const MOST_TOLD = 20;

/** Where a whole automaton is another, each of its hundreds of places would be told. */
function firstOf(differences: readonly Difference[]): Difference[] {
  const more = differences.length - MOST_TOLD;
  if (more <= 0) return [...differences];
  const rest = { where: "/runs", what: `It differs at ${more} more ${more === 1 ? "place" : "places"}.` };
  return [...differences.slice(0, MOST_TOLD), rest];
}
