import type { Finding, Verdict } from "@limbwright/shared/finding";
import { clockText } from "@limbwright/shared/quantity";
import { canonicalText, type RuleFile } from "@limbwright/shared/rule-file";
import { listText } from "@limbwright/shared/text";
import { Marks } from "../rule-file/marks.ts";
import { proofPart, rulesOfFile, whateverTheDay } from "../rule-file/proof.ts";
import { runsPart } from "../rule-file/runs.ts";
import { catalogue } from "../rules/catalogue.ts";
import { CATALOGUE_VERSION } from "../rules/engine/catalogue-version.ts";
import type { Group } from "../rules/engine/definition.ts";
import { type ProtocolJudgement, rulesThatHold } from "../rules/engine/judge.ts";
import { type RunsFor, runsFor } from "../rules/engine/runs-for.ts";
import { type Assumption, assumptionText } from "../runs/index.ts";
import { type CompiledVersion, isOfTheText } from "./compiled-version.ts";
import { partedByKey } from "./pairing.ts";
import { isSameInRuns } from "./runs.ts";
import {
  type Both,
  bothSides,
  type Comparing,
  type FoundChange,
  partedChanges,
  type SideJudged,
} from "./side.ts";

/** What the check says otherwise: by which rules, which answers, and what these lean on. */
export function verdictChanges(comparing: Comparing): FoundChange[] {
  const { judged, isPartial, difference } = comparing;
  return [
    ...catalogueChanges(judged),
    ...answerChanges(judged.before, judged.now, isPartial),
    ...(isSameInRuns(difference) ? [] : assumptionChanges(comparing)),
  ];
}

/**
 * A rule that is judged by the day would change by itself. Where not everything could be compared, answers differ for that alone:
 * then only what is unsafe now is told.
 */
function answerChanges(before: SideJudged, now: SideJudged, isPartial: boolean): FoundChange[] {
  const changed = now.judgement.verdicts.flatMap((verdict): Answer[] => {
    const rule = catalogue.find(({ id }) => id === verdict.rule);
    const old = before.judgement.verdicts.find((one) => one.rule === verdict.rule);
    if (!rule || rule.judgedOnDate || !old) return [];
    const isNoLongerSafe = findsUnsafe(rule.id, now) && !findsUnsafe(rule.id, before);
    if ((isPartial || old.kind === verdict.kind) && !isNoLongerSafe) return [];
    return [{ verdict, old, isNoLongerSafe, isOfWriting: OF_WRITING.has(rule.group) }];
  });
  return [
    ...changed
      .filter(({ verdict }) => verdict.kind !== "not-decided")
      .map((one) => answered(one, before, now)),
    ...undecided(changed),
  ];
}

/** Whether a rule finds something unsafe that is not accepted. */
function findsUnsafe(rule: string, { judgement }: SideJudged): boolean {
  return judgement.findings.some((one) => one.rule === rule && one.severity === "unsafe" && !one.accepted);
}

interface Answer {
  readonly verdict: Verdict;
  readonly old: Verdict;
  readonly isNoLongerSafe: boolean;
  readonly isOfWriting: boolean;
}

/** Rules about how something is written: what they find means the same as before. */
const OF_WRITING: ReadonlySet<Group> = new Set(["text", "numbers"]);

function answered(
  { verdict, old, isNoLongerSafe, isOfWriting }: Answer,
  before: SideJudged,
  now: SideJudged,
): FoundChange {
  const { rule, kind } = verdict;
  const ofRule = now.judgement.findings.filter((one) => one.rule === rule);
  const finding = ofRule.find(({ severity, accepted }) => severity === "unsafe" && !accepted) ?? ofRule[0];
  const earlier = before.judgement.findings.find((one) => one.rule === rule);
  // The change says already what is found now; what is left to say there is where, and how it is marked.
  const saidOf = (one: Finding) => (one === finding ? one.label : one.what);
  if (isNoLongerSafe) {
    const was = old.kind === "broken" ? "found nothing unsafe that was not accepted" : WAS[old.kind];
    return {
      code: "rule-answer",
      kind: "no-longer-safe",
      about: `rule \`${rule}\``,
      what: `\`${rule}\` finds something unsafe now; before, it ${was}.${finding ? ` ${finding.what}` : ""}`,
      ...bothSides(earlier, finding, saidOf),
    };
  }
  return {
    code: "rule-answer",
    kind: isOfWriting ? "wording" : "different",
    about: `rule \`${rule}\``,
    what: `\`${rule}\` ${IS[kind]} now; before, it ${WAS[old.kind]}.${finding ? ` ${finding.what}` : ""}`,
    ...bothSides(earlier, finding, saidOf),
  };
}

/** Many rules are often not decided for one reason: it is told once. */
function undecided(changed: readonly Answer[]): FoundChange[] {
  const byLimit = new Map<string, string[]>();
  for (const { verdict } of changed) {
    if (verdict.kind !== "not-decided") continue;
    byLimit.set(verdict.limit, [...(byLimit.get(verdict.limit) ?? []), `\`${verdict.rule}\``]);
  }
  return [...byLimit].map(([limit, rules]) => ({
    code: "rule-answer",
    kind: "different",
    about: rules.length === 1 ? `rule ${rules[0]}` : `${rules.length} rules`,
    what: `${listText(rules)} ${rules.length === 1 ? "is" : "are"} not decided now, and ${rules.length === 1 ? "was" : "were"} before: ${limit}.`,
    notDecided: limit,
  }));
}

/** "`x` holds", "`x` is broken now". */
const IS: Readonly<Record<Verdict["kind"], string>> = {
  holds: "holds",
  broken: "is broken",
  answered: "holds by what local rules answer",
  "not-decided": "is not decided",
};

/** "it held", "it was broken before". */
const WAS: Readonly<Record<Verdict["kind"], string>> = {
  holds: "held",
  broken: "was broken",
  answered: "held by what local rules answered",
  "not-decided": "was not decided",
};

/**
 * What is otherwise because of the program and its catalogue of rules, though the protocol may say the same: a rule file
 * records what was judged when it was compiled. Such a change asks for no number of the version, which is that of the protocol.
 */
function catalogueChanges({ before, now }: Both<SideJudged>): FoundChange[] {
  return [
    ...versionChange(before, now),
    ...[before, now].flatMap((side) => (side.compiled ? judgedOtherwise(side, side.compiled) : [])),
  ];
}

function versionChange(before: SideJudged, now: SideJudged): FoundChange[] {
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
  return [{ code: "rule-catalogue", about: "rule catalogue", what: words.join(" ") }];
}

function judgedBy({ compiled }: SideJudged): {
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
function judgedOtherwise(side: SideJudged, { path, file }: CompiledVersion): FoundChange[] {
  const { judgement } = side;
  const [proof, runs] = [proofPart(new Marks(), judgement), runsPart(new Marks(), judgement)];
  const recorded = file.proof.verdicts.filter(({ rule }) => !isOfTheText(rule));
  const answers = recorded.flatMap((then): FoundChange[] => {
    const today = judgement.verdicts.find(({ rule }) => rule === then.rule);
    if (!today) return [];
    if (whateverTheDay(today).kind !== then.kind) return [answeredOtherwise(side, path, then.kind, today)];
    const again = proof.verdicts.find(({ rule }) => rule === then.rule);
    if (canonicalText(assumptionsIn(then)) === canonicalText(assumptionsIn(again))) return [];
    const what = `What \`${then.rule}\` leans on in ${path} is otherwise than this program finds for the very protocol of that file.`;
    return [{ code: "proof-assumption-of-then", about: `rule \`${then.rule}\``, what }];
  });
  return [...answers, ...runsChange(path, file.runs, runs)];
}

function assumptionsIn(verdict: RuleFile["proof"]["verdicts"][number] | undefined) {
  return verdict && "assumptions" in verdict ? (verdict.assumptions ?? []) : [];
}

function answeredOtherwise(
  { judgement }: SideJudged,
  path: string,
  then: Verdict["kind"],
  today: Verdict,
): FoundChange {
  const finding = judgement.findings.find(({ rule }) => rule === today.rule);
  const why = today.kind === "not-decided" ? ` ${today.limit}.` : finding ? ` ${finding.what}` : "";
  return {
    code: "rule-answer-of-then",
    about: `rule \`${today.rule}\``,
    what: `\`${today.rule}\` ${IS[today.kind]} today for the very protocol of ${path}; when that file was compiled, it ${WAS[then]}. The rules have changed, not the protocol.${why}`,
    ...bothSides(undefined, finding, ({ what }) => what),
    ...(today.kind === "not-decided" && { notDecided: today.limit }),
  };
}

/** What follows a rule file goes by the runs that stand in it. */
function runsChange(path: string, then: RuleFile["runs"], today: RuleFile["runs"]): FoundChange[] {
  if (canonicalText(runsWithoutChecks(then)) === canonicalText(runsWithoutChecks(today))) return [];
  const times = `${releaseText(then)} then, ${releaseText(today)} today`;
  return [
    {
      code: "runs-of-then",
      about: "rule file",
      what: `The runs that stand in ${path} are others than this program makes of the same protocol: ${times}. What follows that file goes by its own.`,
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

/**
 * What the proof of either version leans on, though nobody can make it so. Only asked where the runs differ: working it
 * out goes through the runs again and again.
 */
function assumptionChanges({
  judged,
  before: renamed,
  renamed: names,
  isCancelled,
}: Comparing): FoundChange[] {
  const { before, now } = judged;
  const earlier = names.length > 0 ? runsFor(renamed, catalogue, isCancelled) : before.judgement.explored;
  return partedChanges(
    partedByKey(
      leantOn(earlier, before.judgement),
      leantOn(now.judgement.explored, now.judgement),
      ({ what, bound }) => `${what} ${bound}`,
    ),
    (old, recent) => (old.seconds === recent.seconds ? [] : [assumptionChange(old, recent)]),
    (one, isNew) => (isNew ? assumptionChange(undefined, one) : assumptionChange(one, undefined)),
  );
}

function assumptionChange(before: Assumption | undefined, now: Assumption | undefined): FoundChange {
  return {
    code: "proof-assumption",
    about: "assumptions",
    what: assumedText(before, now),
    ...sideOf("before", before),
    ...sideOf("now", now),
  };
}

function assumedText(before: Assumption | undefined, now: Assumption | undefined): string {
  if (!now) return `The proof no longer leans on this: ${before ? assumptionText(before) : ""}.`;
  const was = before ? `before: ${assumptionText(before)}` : "before, it did not";
  return `The proof leans on this now: ${assumptionText(now)}; ${was}.`;
}

function sideOf(side: "before" | "now", assumption: Assumption | undefined) {
  const origin = assumption?.origin;
  return origin ? { [side]: { says: assumptionText(assumption), origin } } : {};
}

/** Each once, whichever rules lean on it. */
function leantOn(
  { assumptionsOf }: Pick<RunsFor, "assumptionsOf">,
  { verdicts }: ProtocolJudgement,
): Assumption[] {
  const all = [...assumptionsOf(rulesThatHold(verdicts)).values()].flat();
  return [...new Map(all.map((assumption) => [assumptionText(assumption), assumption])).values()];
}
