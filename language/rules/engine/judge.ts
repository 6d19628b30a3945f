import type { Finding, NotJudged, Verdict } from "@limbwright/shared/finding";
import type { Agent, Problem, Protocol } from "../../model/index.ts";
import { usedAgents } from "../../model/index.ts";
import { type Box, VARIABLES } from "../../population/index.ts";
import { acceptanceOf } from "./acceptances.ts";
import {
  type AgentContext,
  type ComparedWithEarlier,
  type Detected,
  type Earlier,
  type Group,
  type Judgement,
  type Rule,
  together,
  type Undecided,
  undecided,
} from "./definition.ts";
import type { CompareWithEarlier, EarlierVersions } from "./earlier-versions.ts";
import { notJudged } from "./not-judged.ts";
import { parametersFor } from "./parameters.ts";
import { type Before, PutOff } from "./put-off.ts";
import { type RunsFor, runsFor } from "./runs-for.ts";

export interface JudgeOptions {
  /** The day on which dates are judged, YYYY-MM-DD. */
  readonly on: string;
  readonly isCancelled?: () => boolean;
  /**
   * Judges what needs no run, at once. A rule that asks for the runs, or for an earlier version, is put off (`pending`): it is not
   * decided, and finds nothing.
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
  /** Rules that were put off because they ask for the runs or an earlier version, or for what such a rule finds. */
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
  catalogue: readonly Rule[],
  options: JudgeOptions,
): ProtocolJudgement {
  const unread = unreadLimit(protocol, inTheText);
  const compare = comparing(protocol, catalogue, unread, options);
  const isAsked = ({ needsEarlierVersion: needs }: Rule) => !needs || (compare && needs(protocol));
  const rules = catalogue.filter(isAsked);
  const findings: Finding[] = [];
  const verdicts: Verdict[] = [];
  const explored = options.explored ?? runsFor(protocol, rules, options.isCancelled);
  const putOff = new PutOff(explored, options.withoutRuns ?? false);
  for (const rule of rules) {
    const before = putOff.watching({
      findings,
      get verdicts() {
        return withoutGroundless(verdicts, findings, rules);
      },
    });
    const { found, undecided } = putOff.judged(rule.id, () =>
      judgementOf(rule, protocol, {
        before,
        explored: putOff.runs,
        compare: () => putOff.compared(() => (compare ?? notGiven)(explored)),
        options,
      }),
    );
    const accepted = acceptanceOf(protocol, rule, options.on);
    for (const one of found) {
      findings.push({ ...findingOf(rule, one), protocol: protocol.name, ...(accepted && { accepted }) });
    }
    const isInTheText = inTheText.some((finding) => finding.rule === rule.id);
    verdicts.push(verdictOf(rule, found.length > 0 || isInTheText, undecided, unread));
  }
  const all = withoutGroundless(verdicts, findings, rules);
  return {
    protocol,
    findings,
    verdicts: all,
    notJudged: notJudged(protocol),
    explored,
    pending: putOff.rules,
    notAsked: catalogue.filter((rule) => !isAsked(rule)).map(({ id }) => id),
  };
}

/**
 * How a protocol is compared with its earlier version; undefined where no rule needs it or there is none. While its text was not
 * understood, nothing is compared.
 */
function comparing(
  protocol: Protocol,
  catalogue: readonly Rule[],
  unread: string | undefined,
  options: JudgeOptions,
): CompareWithEarlier | undefined {
  const { earlierVersions, withoutRuns } = options;
  if (!catalogue.some(({ needsEarlierVersion }) => needsEarlierVersion?.(protocol))) return undefined;
  if (withoutRuns) return notGiven;
  if (earlierVersions && unread !== undefined) return () => ({ kind: "not-compared", limit: unread });
  return earlierVersions?.of(protocol, options);
}

const notGiven: CompareWithEarlier = () => ({ kind: "not-compared", limit: "no earlier version was given" });

/** The rules that hold. */
export function holding(verdicts: readonly Verdict[]): string[] {
  return verdicts.filter(({ kind }) => kind === "holds").map(({ rule }) => rule);
}

/** Rules that judge what a patient is given: they rest on the amounts. */
const RESTING_ON_AMOUNTS: ReadonlySet<Group> = new Set(["dose", "cuff", "readiness"]);

/** Beside a table that says no amount or two for a patient, nothing about amounts is said to hold. */
function withoutGroundless(
  verdicts: readonly Verdict[],
  findings: readonly Finding[],
  rules: readonly Rule[],
): readonly Verdict[] {
  const error = findings.find(({ severity }) => severity === "error");
  if (!error) return verdicts;
  const limit = `it may rest on what \`${error.rule}\` found; mend that first`;
  const resting = new Set(rules.filter(({ group }) => RESTING_ON_AMOUNTS.has(group)).map(({ id }) => id));
  return verdicts.map((verdict) =>
    verdict.kind === "holds" && resting.has(verdict.rule)
      ? { rule: verdict.rule, kind: "not-decided", limit }
      : verdict,
  );
}

/** Judges an agent that no protocol of the run uses, by the rules' standards. */
export function judgeUnusedAgent(agent: Agent, rules: readonly Rule[], options: JudgeOptions): Finding[] {
  return rules.flatMap((rule) => {
    const context = { parameter: parametersFor(rule, undefined), on: options.on };
    return (rule.judgeAgent?.(agent, context).found ?? []).map((one) => findingOf(rule, one));
  });
}

/** A problem of the reading as a finding. */
export function findingOfProblem(problem: Problem, rules: readonly Rule[]): Finding {
  const rule = rules.find((one) => one.id === problem.rule);
  if (!rule) throw new Error(`no rule explains ${problem.rule}`);
  return findingOf(rule, problem);
}

interface Judging {
  readonly before: Before;
  readonly explored: Pick<RunsFor, "runs" | "leaks">;
  readonly compare: () => ComparedWithEarlier;
  readonly options: JudgeOptions;
}

function judgementOf(
  rule: Rule,
  protocol: Protocol,
  { before, explored, compare, options }: Judging,
): Judgement {
  const context: AgentContext = { parameter: parametersFor(rule, protocol.localRules), on: options.on };
  const onAgents = rule.judgeAgent
    ? usedAgents(protocol).map((agent) => rule.judgeAgent?.(agent, context) ?? { found: [], undecided: [] })
    : [];
  const { judge } = rule;
  const onProtocol = judge
    ? [
        ofKnownPatients(protocol, (box) =>
          judge({
            ...context,
            protocol,
            get box() {
              return box();
            },
            get runs() {
              return explored.runs;
            },
            get leaks() {
              return explored.leaks;
            },
            isCancelled: options.isCancelled ?? (() => false),
            get earlier() {
              return before.findings.map(earlierOf);
            },
            get earlierVersion() {
              return compare();
            },
            get holding() {
              return holding(before.verdicts);
            },
          }),
        ),
      ]
    : [];
  return together([...onAgents, ...onProtocol]);
}

/**
 * A rule that asks whom the protocol covers is not decided while that is not understood: what it finds may be
 * about patients who are not covered at all.
 */
function ofKnownPatients(protocol: Protocol, judge: (box: () => Box) => Judgement): Judgement {
  const { patients } = protocol;
  let asked = false;
  const judgement = judge(() => {
    asked = true;
    return boxOf(protocol);
  });
  const known = patients !== undefined && !patients.boundsIncomplete;
  return known || !asked
    ? judgement
    : undecided("whom the protocol covers was not understood", patients?.origin ?? protocol.nameOrigin);
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

function findingOf(rule: Rule, found: Detected | Problem): Finding {
  const { why, patients, run } = found as Detected;
  return {
    rule: rule.id,
    severity: found.severity ?? rule.severity,
    origin: found.origin,
    what: found.what,
    label: found.label,
    why: why ?? rule.why,
    next: found.next,
    related: found.related ?? [],
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

function verdictOf(
  rule: Rule,
  broken: boolean,
  undecided: readonly Undecided[],
  unread: string | undefined,
): Verdict {
  if (broken) return { rule: rule.id, kind: "broken" };
  const [first] = undecided;
  if (first) {
    return {
      rule: rule.id,
      kind: "not-decided",
      limit: first.limit,
      ...(first.origin && { origin: first.origin }),
    };
  }
  if (unread !== undefined) return { rule: rule.id, kind: "not-decided", limit: unread };
  return { rule: rule.id, kind: "holds" };
}
