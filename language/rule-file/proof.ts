import { type Finding, isAtLeast, type OpenPoint, type Verdict } from "@limbwright/shared/finding";
import { COUNT, exactText, requireUnit } from "@limbwright/shared/quantity";
import type {
  Acceptance as FileAcceptance,
  Answer as FileAnswer,
  Assumption as FileAssumption,
  Finding as FileFinding,
  Parameter as FileParameter,
  Verdict as FileVerdict,
  Proof,
  UnsafeFound,
} from "@limbwright/shared/rule-file";
import { agentsOf, type LocalRules, type Protocol } from "../model/index.ts";
import { catalogue } from "../rules/catalogue.ts";
import { acceptancesFor } from "../rules/engine/acceptances.ts";
import { CATALOGUE_VERSION } from "../rules/engine/catalogue-version.ts";
import type { AnyRule } from "../rules/engine/definition.ts";
import type { ProtocolJudgement } from "../rules/engine/judge.ts";
import { GENERAL_PARAMETERS, type Parameter } from "../rules/engine/parameter.ts";
import { parametersFor } from "../rules/engine/parameters.ts";
import { answersFor } from "../rules/facts/answers.ts";
import type { Assumption } from "../runs/index.ts";
import { writePart, writingWith } from "./codec.ts";
import type { Marks } from "./marks.ts";
import { byName, compareTexts, fileQuantity, inFixedOrder } from "./values.ts";

/** The rules whose answers go into a file: those that depend neither on the day nor on an earlier version. */
export const rulesOfFile: readonly AnyRule[] = catalogue.filter(isRuleOfFile);

function isRuleOfFile({ judgedOnDate, needs = [] }: AnyRule): boolean {
  return !judgedOnDate && !needs.includes("earlier-version");
}

/** Whether a finding goes into a file. */
export function isOfFile({ rule }: Pick<Finding, "rule">): boolean {
  return !catalogue.some((one) => one.id === rule && !isRuleOfFile(one));
}

/**
 * What was judged about a protocol, the same on every day. `inTheText` is what was found in the text of its files, which
 * nobody knows who has a rule file alone.
 */
export function proofPart(
  marks: Marks,
  judgement: ProtocolJudgement,
  inTheText: readonly Finding[] = [],
): Proof {
  const { protocol, verdicts, explored } = judgement;
  const { localRules } = protocol;
  const holding = verdicts.flatMap(({ rule, kind }) => (kind === "holds" ? [rule] : []));
  const assumptions = explored.assumptionsOf(holding);
  const basis = { findings: [...inTheText, ...judgement.findings], localRules, assumptions };
  const part: Proof = {
    catalogue: CATALOGUE_VERSION,
    ...(localRules && { localRules: localRules.name }),
    parameters: parameterParts(marks, { id: "", parameters: [] }, GENERAL_PARAMETERS, localRules),
    verdicts: verdicts
      .filter(isOfFile)
      .map((verdict) => verdictPart(marks, verdict, basis))
      .sort((a, b) => compareTexts(a.rule, b.rule)),
    accepted: acceptedParts(marks, judgement),
    answers: answerParts(marks, protocol),
    notJudged: judgement.notJudged
      .map(({ what, origin }) => marks.at({ what }, origin))
      .sort((a, b) => compareTexts(a.what, b.what)),
  };
  return marks.at(part, undefined, { localRules: localRules?.nameOrigin });
}

function verdictPart(
  marks: Marks,
  verdict: Verdict,
  { findings, localRules, assumptions }: VerdictBasis,
): FileVerdict {
  const { rule: id, kind } = whateverTheDay(verdict);
  const rule = catalogue.find((one) => one.id === id);
  if (!rule) throw new Error(`there is a verdict for ${id}, which is no rule`);
  const parameters = parameterParts(marks, rule, rule.parameters ?? [], localRules);
  const mayBeBroken = { rule: id, mayBeUnsafe: mayBeUnsafe(id), parameters };
  switch (kind) {
    case "holds": {
      const leansOn = assumptions.get(id);
      return { rule: id, kind, parameters, ...(leansOn && { assumptions: assumptionParts(marks, leansOn) }) };
    }
    case "broken": {
      const { open, answered } = besideFinding(verdict);
      const found = unsafeParts(findings.filter((one) => one.rule === id));
      return {
        ...mayBeBroken,
        kind,
        unsafe: found,
        ...(open && { open: open.limit }),
        ...(answered && { answered }),
      };
    }
    case "answered":
      return { ...mayBeBroken, kind };
    case "not-decided": {
      const { limit, origin } = verdict as Extract<Verdict, { kind: "not-decided" }>;
      return marks.at({ ...mayBeBroken, kind, limit }, origin);
    }
  }
}

/** What the verdicts of a protocol are told by. */
interface VerdictBasis {
  readonly findings: readonly Finding[];
  readonly localRules: LocalRules | undefined;
  readonly assumptions: ReadonlyMap<string, readonly Assumption[]>;
}

/** What is not decided, or is answered, beside what a rule found: as with `whateverTheDay`, also after the end of the answer. */
function besideFinding(verdict: Verdict): { readonly open?: OpenPoint; readonly answered?: true } {
  if (verdict.kind !== "broken") return {};
  const { open, answers } = verdict;
  if (answers ?? open?.answers) return { answered: true };
  return open ? { open } : {};
}

/** What was found unsafe, in the order of its words: which of it is accepted, stands with the acceptances. */
function unsafeParts(findings: readonly Finding[]): UnsafeFound[] {
  return inFixedOrder(
    findings
      .filter(({ severity }) => isAtLeast(severity, "unsafe"))
      .map(({ what, subject }) => ({ what, ...(subject !== undefined && { subject }) })),
  );
}

/** An answer counts in a file also after its end, which stands beside it: the file does not know the day. */
export function whateverTheDay(verdict: Verdict): Pick<Verdict, "rule" | "kind"> {
  const isAnswered = verdict.kind === "not-decided" && verdict.answers;
  return isAnswered ? { rule: verdict.rule, kind: "answered" } : verdict;
}

function assumptionParts(marks: Marks, assumptions: readonly Assumption[]): FileAssumption[] {
  return inFixedOrder(
    assumptions.map(({ what, bound, seconds, origin }) => marks.at({ what, bound, seconds }, origin)),
  );
}

function parameterParts(
  marks: Marks,
  rule: Pick<AnyRule, "id" | "parameters">,
  parameters: readonly Parameter[],
  localRules: LocalRules | undefined,
): FileParameter[] {
  const parameterOf = parametersFor(rule, localRules);
  const ruleId = rule.id === "" ? undefined : rule.id;
  return byName(
    parameters.map(({ name, unit: symbol }) => {
      const { value, isLocal } = parameterOf(name);
      const unit = symbol === "" ? PLAIN_NUMBER : requireUnit(symbol);
      const setting = localRules?.settings.find((one) => one.parameter === name && one.rule === ruleId);
      const part: FileParameter = {
        name,
        value: exactText(value.div(unit.perBase)),
        unit: unit.ucum as FileParameter["unit"],
        from: isLocal ? "local-rules" : "standard",
        ...(isLocal && setting?.because !== undefined && { because: setting.because }),
        ...(isLocal && setting?.by !== undefined && { by: setting.by }),
      };
      return marks.at(part, isLocal ? setting?.origin : undefined);
    }),
  );
}

const PLAIN_NUMBER = { ucum: "1", dimension: COUNT, perBase: 1 };

/** The acceptances that are for this protocol, whatever the day, with what each of them covers. */
function acceptedParts(marks: Marks, { protocol, findings, covering }: ProtocolJudgement): FileAcceptance[] {
  const parts = acceptancesFor(protocol).map((acceptance) => {
    const { rule, subject, protocol: only, upTo, because, by, alsoBy, until, origin } = acceptance;
    const covered = findings.filter((finding) => isOfFile(finding) && covering.covers(acceptance, finding));
    const part: FileAcceptance = {
      rule,
      ...(subject !== undefined && { subject }),
      ...(only !== undefined && { protocol: only }),
      ...(upTo && { upTo: fileQuantity(upTo) as NonNullable<FileAcceptance["upTo"]> }),
      because,
      by,
      ...(alsoBy !== undefined && { alsoBy }),
      until,
      findings: covered.map(({ what }) => what).sort(),
    };
    return marks.at(part, origin);
  });
  return parts.sort((a, b) => compareTexts(a.rule, b.rule) || compareTexts(a.until, b.until));
}

/** What local rules answer for drugs of this protocol, whatever the day. */
function answerParts(marks: Marks, protocol: Protocol): FileAnswer[] {
  const parts = agentsOf(protocol).flatMap((agent) =>
    answersFor(agent, protocol).map(({ limit, source, because, by, until, origin }) =>
      marks.at(writePart(writingWith(marks), "Answer", { agent, limit, source, because, by, until }), origin),
    ),
  );
  return inFixedOrder(parts);
}

/** Whether some acceptance covers a finding, whatever the day. */
export function isAccepted(
  { protocol, covering }: Pick<ProtocolJudgement, "protocol" | "covering">,
  finding: Pick<Finding, "rule" | "severity" | "subject" | "limitUnit">,
): boolean {
  return acceptancesFor(protocol).some((one) => covering.covers(one, finding));
}

/** What of a finding decides it, in a file or just found. */
interface Standing extends Pick<Finding, "rule" | "severity"> {
  readonly accepted?: unknown;
}

/** Whether a finding lets a protocol be written as a draft only: an unsafe one, or one of a rule that says so, that nobody accepted. */
export function keepsDraft({ rule, severity, accepted }: Standing): boolean {
  const isDraftOnly = catalogue.some(({ id, draftOnly }) => id === rule && draftOnly === true);
  return !accepted && (isDraftOnly || isAtLeast(severity, "unsafe"));
}

/** Whether what breaks a rule may be unsafe. */
export function mayBeUnsafe(rule: string): boolean {
  const known = catalogue.find(({ id }) => id === rule);
  return known === undefined || isAtLeast(known.worst ?? known.severity, "unsafe");
}

/** What was found, for a draft. Errors are not among it: while there are any, there is no draft either. */
export function findingParts(
  marks: Marks,
  findings: readonly Finding[],
  isAccepted: (finding: Finding) => boolean,
): FileFinding[] {
  return inFixedOrder(
    findings.flatMap((finding) => {
      const { severity, origin } = finding;
      if (severity === "error") return [];
      const part = writePart(writingWith(marks), "Finding", {
        ...finding,
        severity,
        accepted: isAccepted(finding),
      });
      return [marks.at(part, origin)];
    }),
  );
}
