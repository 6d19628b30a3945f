import type { Verdict } from "@limbwright/shared/finding";
import { clockText } from "@limbwright/shared/quantity";
import { canonicalText, type RuleFile } from "@limbwright/shared/rule-file";
import { listText } from "@limbwright/shared/text";
import { Marks } from "../rule-file/marks.ts";
import { proofPart, rulesOfFile } from "../rule-file/proof.ts";
import { runsPart } from "../rule-file/runs.ts";
import { CATALOGUE_VERSION } from "../rules/engine/catalogue-version.ts";
import { type CompiledVersion, isOfTheText } from "./compiled-version.ts";
import { bothSides, type FoundChange, type SideJudged } from "./side.ts";
import { IS, WAS } from "./verdicts.ts";

/** A judged version; of one that is kept as its rule file also what was judged of it then. */
export interface SideOfThen extends SideJudged {
  readonly compiled?: CompiledVersion;
}

/**
 * What is otherwise because of the program and its catalogue of rules, though the protocol may say the same: a rule file
 * records what was judged when it was compiled. Such a change asks for no number of the version, which is that of the protocol.
 */
export function catalogueChanges(before: SideOfThen, now: SideOfThen): FoundChange[] {
  return [
    ...versionChange(before, now),
    ...[before, now].flatMap((side) => (side.compiled ? judgedOtherwise(side, side.compiled) : [])),
  ];
}

function versionChange(before: SideOfThen, now: SideOfThen): FoundChange[] {
  const [old, recent] = [judgedBy(before), judgedBy(now)];
  const added = recent.rules.filter((rule) => !old.rules.includes(rule));
  const gone = old.rules.filter((rule) => !recent.rules.includes(rule));
  if (old.catalogue === recent.catalogue && added.length + gone.length === 0) return [];
  const ofText = [...added, ...gone].filter(isOfTheText);
  const words = [
    `It is judged by rule catalogue ${recent.catalogue} now; before, by ${old.catalogue}.`,
    ...(added.length > 0 ? [`Rules that are new: ${named(added)}.`] : []),
    ...(gone.length > 0 ? [`Rules that are no longer there: ${named(gone)}.`] : []),
    ...(ofText.length > 0
      ? [`What ${named(ofText)} would find was not compared: the text is not in the rule file.`]
      : []),
  ];
  return [{ kind: "needs-a-reader", about: "rule catalogue", what: words.join(" "), isStanding: true }];
}

function judgedBy({ compiled }: SideOfThen): {
  readonly catalogue: number;
  readonly rules: readonly string[];
} {
  if (!compiled) return { catalogue: CATALOGUE_VERSION, rules: rulesOfFile.map(({ id }) => id) };
  const { catalogue, verdicts } = compiled.file.proof;
  return { catalogue, rules: verdicts.map(({ rule }) => rule) };
}

function named(rules: readonly string[]): string {
  return listText([...rules].sort().map((rule) => `\`${rule}\``));
}

/** What this program says otherwise of the protocol of a rule file than stands in the file. */
function judgedOtherwise(side: SideOfThen, { path, file }: CompiledVersion): FoundChange[] {
  const { judgement } = side;
  const [proof, runs] = [proofPart(new Marks(), judgement), runsPart(new Marks(), judgement)];
  const recorded = file.proof.verdicts.filter(({ rule }) => !isOfTheText(rule));
  const answers = recorded.flatMap((then): FoundChange[] => {
    const today = judgement.verdicts.find(({ rule }) => rule === then.rule);
    if (!today) return [];
    if (today.kind !== then.kind) return [answeredOtherwise(side, path, then.kind, today)];
    const again = proof.verdicts.find(({ rule }) => rule === then.rule);
    if (canonicalText(assumptionsIn(then)) === canonicalText(assumptionsIn(again))) return [];
    const what = `What \`${then.rule}\` leans on in ${path} is otherwise than this program finds for the very protocol of that file.`;
    return [{ kind: "different", about: `rule \`${then.rule}\``, what, isStanding: true }];
  });
  return [...answers, ...runsChange(path, file.runs, runs)];
}

function assumptionsIn(verdict: RuleFile["proof"]["verdicts"][number] | undefined) {
  return verdict && verdict.kind !== "not-decided" ? (verdict.assumptions ?? []) : [];
}

function answeredOtherwise(
  { judgement }: SideOfThen,
  path: string,
  then: Verdict["kind"],
  today: Verdict,
): FoundChange {
  const finding = judgement.findings.find(({ rule }) => rule === today.rule);
  const why = today.kind === "not-decided" ? ` ${today.limit}.` : finding ? ` ${finding.what}` : "";
  return {
    kind: "different",
    about: `rule \`${today.rule}\``,
    what: `\`${today.rule}\` ${IS[today.kind]} today for the very protocol of ${path}; when that file was compiled, it ${WAS[then]}. The rules are others, not the protocol.${why}`,
    ...bothSides(undefined, finding, ({ what }) => what),
    isStanding: true,
    ...(today.kind === "not-decided" && { notDecided: today.limit }),
  };
}

/** What follows a rule file goes by the runs that stand in it. */
function runsChange(path: string, then: RuleFile["runs"], today: RuleFile["runs"]): FoundChange[] {
  if (canonicalText(runsWithoutChecks(then)) === canonicalText(runsWithoutChecks(today))) return [];
  const times = `${releaseText(then)} then, ${releaseText(today)} today`;
  return [
    {
      kind: "different",
      about: "rule file",
      what: `The runs that stand in ${path} are others than this program makes of the same protocol: ${times}. What follows that file goes by its own.`,
      isStanding: true,
    },
  ];
}

/** The checks in an automaton are those of the rules; what rules say otherwise is told by their answers. */
function runsWithoutChecks(runs: RuleFile["runs"]) {
  if (runs.kind === "not-explored") return runs;
  const { checks: _checks, locations, edges, ...others } = runs.automaton;
  const withoutChecks = <T extends object>(part: T) =>
    Object.fromEntries(Object.entries(part).filter(([name]) => name !== "checks"));
  return {
    ...runs,
    automaton: { ...others, locations: locations.map(withoutChecks), edges: edges.map(withoutChecks) },
  };
}

function releaseText(runs: RuleFile["runs"]): string {
  if (runs.kind === "not-explored") return "not gone through";
  const { release } = runs.envelope;
  if (!release) return "no release";
  const latest = release.latest ? clockText(release.latest.seconds) : "without limit";
  return `release from ${clockText(release.earliest.seconds)} to ${latest} after the injection`;
}
