import {
  type AnsweredBy,
  type Finding,
  isInForce,
  lastDayAllowed,
  type NotJudged,
  type Verdict,
} from "@limbwright/shared/finding";
import { type Agent, agentsOf, type Problem, type Protocol } from "../../model/index.ts";
import { type Box, VARIABLES } from "../../population/index.ts";
import { Covering } from "./covering.ts";
import type { AnyRule, Earlier, Group, Need, RuleContext, StatedRule } from "./definition.ts";
import type { CompareWithEarlier, EarlierVersions } from "./earlier-versions.ts";
import { combine, type Detected, type Judgement, type Undecided, undecided } from "./judgement.ts";
import { atNearestPlace } from "./nearest-place.ts";
import { notJudged } from "./not-judged.ts";
import { parametersFor } from "./parameters.ts";
import { type RunsFor, runsFor } from "./runs-for.ts";

export interface JudgeOptions {
  /** The day on which dates are judged, YYYY-MM-DD. */
  readonly on: string;
  readonly isCancelled?: () => boolean;
  /**
   * Judges at once what needs neither the runs nor an earlier version. A rule that does is put off (`pending`): it is not decided,
   * and finds nothing.
   */
  readonly withoutRuns?: boolean;
  /** Where they are not given, rules that need one are not judged. */
  readonly earlierVersions?: EarlierVersions;
  /** The runs of the one protocol that is judged, where others asked for them already. */
  readonly explored?: RunsFor;
}

/** What was found about one protocol, with a verdict for every rule. */
export interface ProtocolJudgement {
  readonly protocol: Protocol;
  readonly findings: readonly Finding[];
  readonly verdicts: readonly Verdict[];
  readonly notJudged: readonly NotJudged[];
  /** Every run of the protocol; gone through when it is first asked for. */
  readonly explored: RunsFor;
  /** Which of the acceptances that are for it cover what. */
  readonly covering: Pick<Covering, "covers">;
  /** Rules that were put off because they need the runs or an earlier version, or what such a rule finds. */
  readonly pending: readonly string[];
  /** Rules that were not judged at all, since there is no other earlier version to compare with; they have no verdict. */
  readonly notAsked: readonly string[];
}

/**
 * Judges a protocol by every rule. `inTheText` is what was found in the text of the files it is written in
 * and uses: while one of these is an error, no rule is said to hold, since what it would judge may not have
 * been understood.
 */
export function judgeProtocol(
  protocol: Protocol,
  inTheText: readonly Finding[],
  catalogue: readonly AnyRule[],
  options: JudgeOptions,
): ProtocolJudgement {
  const unread = unreadLimit(protocol, inTheText);
  const about = catalogue.filter(({ isAbout }) => !isAbout || isAbout(protocol));
  const compare = about.some(needsEarlierVersion) ? chooseComparison(protocol, unread, options) : undefined;
  const rules = about.filter((rule) => compare || !needsEarlierVersion(rule));
  const findings: Finding[] = [];
  const verdicts: Verdict[] = [];
  const pending: string[] = [];
  const explored = options.explored ?? runsFor(protocol, rules, options.isCancelled);
  const judged = new Map<AnyRule, Judgement>();
  const covering = new Covering({
    protocol,
    box: boxOf(protocol),
    rules,
    judged: (rule) => judged.get(rule) ?? NOT_JUDGED,
    judge: (rule, other) =>
      judgementOf(rule, {
        ...judging,
        protocol: other,
        explored: runsFor(other, rules, options.isCancelled),
      }),
  });
  const judging: Judging = {
    protocol,
    options,
    explored,
    covering,
    findings,
    compare: compare ?? notGiven,
    decided: () => withoutEmptied(withoutGroundless(verdicts, findings, rules), rules),
  };
  for (const rule of rules) {
    const isLate = options.withoutRuns === true && takesTime(rule, pending);
    if (isLate) pending.push(rule.id);
    const judgement = isLate ? NOT_JUDGED : judgementOf(rule, judging);
    judged.set(rule, judgement);
    const { found, undecided: open } = judgement;
    for (const one of found) {
      const finding = findingOf(rule, one);
      const accepted = covering.acceptedBy(finding, options.on);
      findings.push({
        ...covering.withNotes(finding),
        protocol: protocol.name,
        ...(accepted && { accepted }),
      });
    }
    const isInTheText = inTheText.some((finding) => finding.rule === rule.id);
    verdicts.push(verdictOf(rule, found.length > 0 || isInTheText, open, { unread, on: options.on }));
  }
  return {
    protocol,
    findings,
    verdicts: judging.decided(),
    covering,
    notJudged: notJudged(protocol),
    explored,
    pending,
    notAsked: catalogue.filter((rule) => !rules.includes(rule)).map(({ id }) => id),
  };
}

const NOT_JUDGED = undecided("the runs are not gone through yet");

/** Whether a rule needs what is not there at once; what the rules before found is not, while one of these is put off. */
function takesTime({ needs = [] }: AnyRule, pending: readonly string[]): boolean {
  return needs.some((need) => need !== "findings" || pending.length > 0);
}

function needsEarlierVersion({ needs = [] }: AnyRule): boolean {
  return needs.includes("earlier-version");
}

/**
 * How a protocol is compared with its earlier version; undefined where there is none. While its text was not understood, nothing is
 * compared.
 */
function chooseComparison(
  protocol: Protocol,
  unread: string | undefined,
  options: JudgeOptions,
): CompareWithEarlier | undefined {
  const { earlierVersions, withoutRuns } = options;
  if (withoutRuns) return notGiven;
  if (earlierVersions && unread !== undefined) return () => ({ kind: "not-compared", limit: unread });
  return earlierVersions?.of(protocol, options);
}

const notGiven: CompareWithEarlier = () => ({ kind: "not-compared", limit: "no earlier version was given" });

/** The rules that hold. */
export function rulesThatHold(verdicts: readonly Verdict[]): string[] {
  return verdicts.filter(({ kind }) => kind === "holds").map(({ rule }) => rule);
}

function stands({ kind }: Verdict): boolean {
  return kind === "holds" || kind === "answered";
}

/** Rules that judge what a patient is given: they rest on the amounts. */
const RESTING_ON_AMOUNTS: ReadonlySet<Group> = new Set(["dose", "cuff", "readiness"]);

/** Beside a table that says no amount or two for a patient, nothing about amounts is said to hold. */
function withoutGroundless(
  verdicts: readonly Verdict[],
  findings: readonly Finding[],
  rules: readonly AnyRule[],
): readonly Verdict[] {
  const error = findings.find(({ severity }) => severity === "error");
  if (!error) return verdicts;
  const limit = `it may rest on what \`${error.rule}\` found; mend that first`;
  const resting = new Set(rules.filter(({ group }) => RESTING_ON_AMOUNTS.has(group)).map(({ id }) => id));
  return verdicts.map((verdict) =>
    stands(verdict) && resting.has(verdict.rule)
      ? { rule: verdict.rule, kind: "not-decided", limit }
      : verdict,
  );
}

/** Where no run does what the rules over runs ask about, none of them is said to hold. */
function withoutEmptied(verdicts: readonly Verdict[], rules: readonly AnyRule[]): readonly Verdict[] {
  const isBroken = (id: string) => verdicts.some(({ rule, kind }) => rule === id && kind === "broken");
  const emptying = rules.find(({ id, emptiesRuns }) => emptiesRuns && isBroken(id));
  if (!emptying) return verdicts;
  const limit = `there is nothing to prove: see what \`${emptying.id}\` found; mend that first`;
  const emptied = new Set(rules.filter(isAboutOrderOrTime).map(({ id }) => id));
  return verdicts.map((verdict) =>
    stands(verdict) && emptied.has(verdict.rule)
      ? { rule: verdict.rule, kind: "not-decided", limit }
      : verdict,
  );
}

function isAboutOrderOrTime({ group, needs = [] }: AnyRule): boolean {
  return group === "time" || needs.includes("runs");
}

/** Judges an agent that no protocol of the run uses, by the rules' standards. */
export function judgeUnusedAgent(agent: Agent, rules: readonly AnyRule[], options: JudgeOptions): Finding[] {
  return rules.flatMap((rule) => {
    const context = { parameter: parametersFor(rule, undefined), on: options.on };
    return (rule.judgeAgent?.(agent, context).found ?? []).map((one) => findingOf(rule, one));
  });
}

/** A problem of the reading as a finding. */
export function findingOfProblem(problem: Problem, rules: readonly AnyRule[]): Finding {
  const rule = rules.find((one) => one.id === problem.rule);
  if (!rule) throw new Error(`no rule explains ${problem.rule}`);
  return findingOf(rule, problem);
}

/** A protocol with what was found and decided about it so far. */
interface Judging {
  readonly protocol: Protocol;
  readonly options: JudgeOptions;
  readonly explored: RunsFor;
  readonly covering: Covering;
  readonly findings: readonly Finding[];
  readonly compare: CompareWithEarlier;
  readonly decided: () => readonly Verdict[];
}

function judgementOf(rule: AnyRule, judging: Judging): Judgement {
  const context = contextOf(rule, judging);
  const { protocol } = judging;
  const { judge, judgeAgent } = rule;
  const onAgents = judgeAgent ? agentsOf(protocol).map((agent) => judgeAgent(agent, context)) : [];
  const onProtocol = judge ? [ifPatientsUnderstood(protocol, () => judge(context))] : [];
  const { found, undecided } = combine([...onAgents, ...onProtocol]);
  return { found: found.map((one) => atNearestPlace(one, protocol)), undecided };
}

/** All that rules may need, each worked out when it is read: a rule sees of it what its `needs` say. */
function contextOf(rule: AnyRule, judging: Judging): RuleContext<Need> {
  const { protocol, options, explored, covering, findings, compare, decided } = judging;
  return {
    rule,
    parameter: parametersFor(rule, protocol.localRules),
    on: options.on,
    protocol,
    isCancelled: options.isCancelled ?? (() => false),
    get box() {
      return understoodBox(protocol);
    },
    get runs() {
      return explored.runs;
    },
    get leaks() {
      return explored.leaks;
    },
    get earlierVersion() {
      return compare(explored);
    },
    get earlier() {
      return findings.map(earlierOf);
    },
    get holding() {
      return rulesThatHold(decided());
    },
    refusalUpTo: (acceptance) => covering.refusalUpTo(acceptance),
  };
}

class PatientsNotUnderstood extends Error {}

function understoodBox(protocol: Protocol): Box {
  const { patients } = protocol;
  if (!patients || patients.boundsIncomplete) throw new PatientsNotUnderstood();
  return boxOf(protocol);
}

/**
 * A rule that asks whom the protocol covers is not decided while that is not understood: what it finds may be
 * about patients who are not covered at all.
 */
function ifPatientsUnderstood({ patients, nameOrigin }: Protocol, judge: () => Judgement): Judgement {
  try {
    return judge();
  } catch (error) {
    if (!(error instanceof PatientsNotUnderstood)) throw error;
    return undecided("whom the protocol covers was not understood", patients?.origin ?? nameOrigin);
  }
}

function earlierOf({ rule, severity, accepted }: Finding): Earlier {
  return { rule, severity, accepted: accepted !== undefined };
}

/** The patients a protocol covers; a variable without a stated range is without limits. */
export function boxOf(protocol: Protocol): Box {
  const bounds = protocol.patients?.bounds ?? {};
  return Object.fromEntries(
    VARIABLES.flatMap((variable) => {
      const range = bounds[variable];
      return range ? [[variable, range.interval]] : [];
    }),
  );
}

/** What a rule found, or the reading found for it, as a finding. */
export function findingOf(rule: StatedRule, found: Detected | Problem): Finding {
  const { why, patients, run, subject, limitUnit } = found as Detected;
  return {
    rule: rule.id,
    severity: found.severity ?? rule.severity,
    origin: found.origin,
    what: found.what,
    label: found.label,
    why: why ?? rule.why,
    next: found.next,
    related: found.related ?? [],
    ...(subject !== undefined && { subject }),
    ...(limitUnit !== undefined && { limitUnit }),
    ...(patients && { patients }),
    ...(run && { run }),
    repairs: found.repairs ?? [],
  };
}

/** Why nothing can be said to hold: text that was not understood may be the text that matters. */
function unreadLimit(protocol: Protocol, inTheText: readonly Finding[]): string | undefined {
  return protocol.incomplete || inTheText.some(({ severity }) => severity === "error")
    ? "part of the text was not understood; mend the errors first"
    : undefined;
}

interface Circumstances {
  readonly unread: string | undefined;
  readonly on: string;
}

function verdictOf(
  rule: AnyRule,
  isBroken: boolean,
  undecided: readonly Undecided[],
  circumstances: Circumstances,
): Verdict {
  const verdict = unbrokenVerdict(rule.id, undecided, circumstances);
  if (!isBroken) return verdict;
  const broken = { rule: rule.id, kind: "broken" } as const;
  if (verdict.kind === "answered") return { ...broken, answers: verdict.answers };
  if (verdict.kind !== "not-decided" || undecided.length === 0) return broken;
  const { rule: _rule, kind: _kind, ...open } = verdict;
  return { ...broken, open };
}

function unbrokenVerdict(
  rule: string,
  undecided: readonly Undecided[],
  { unread, on }: Circumstances,
): Verdict {
  const [first] = undecided.filter(({ answers = [] }) => answers.length === 0);
  if (first) {
    return { rule, kind: "not-decided", limit: first.limit, ...(first.origin && { origin: first.origin }) };
  }
  if (unread !== undefined) return { rule, kind: "not-decided", limit: unread };
  return undecided.length === 0 ? { rule, kind: "holds" } : answered(rule, undecided, on);
}

/** An answer covers what is missing as long as an acceptance of what is unsafe would. */
function answered(rule: string, undecided: readonly Undecided[], on: string): Verdict {
  const answers = undecided.flatMap((one) => one.answers ?? []);
  const isStanding = (one: AnsweredBy) => isInForce(one, on) && one.until <= lastDayAllowed("unsafe", on);
  const open = undecided.find((one) => !one.answers?.every(isStanding));
  if (!open) return { rule, kind: "answered", answers };
  return {
    rule,
    kind: "not-decided",
    limit: `${open.limit}; the answer of the local rules does not hold on ${on}`,
    ...(open.origin && { origin: open.origin }),
    answers,
  };
}
