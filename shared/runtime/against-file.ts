import { isInForce, isRealDate, lastDayAllowed } from "../finding/days.ts";
import type {
  Acceptance,
  RuleFile,
  UnsafeFound,
  Verdict,
  VerdictBroken,
} from "../rule-file/generated/rule-file.ts";

/**
 * Why a file is not to be followed on a patient on a day. `name` is what a caller says who follows it all the same, `byDay` whether it
 * may not stand against it on another day. The words are the same on each day on which it stands.
 */
export type AgainstFile =
  /** Dates stand in it, and the day was not given. It cannot be named: a day has to be given. */
  | { readonly kind: "no-day"; readonly words: string }
  | {
      readonly kind: StandingKind;
      readonly name: string;
      readonly byDay: boolean;
      readonly words: string;
    }
  /** A rule whose breach is unsafe is broken, or not decided, on that day; its own name is the one to say. */
  | {
      readonly kind: "broken" | "not-decided";
      readonly name: string;
      readonly rule: string;
      readonly byDay: boolean;
      readonly words: string;
    };

type StandingKind = "draft" | "not-approved" | "retired" | "overdue";

export interface FollowOptions {
  /** The day, YYYY-MM-DD, by the calendar of the place; a file in which dates stand is refused without. */
  readonly on?: string;
}

/**
 * What stands against following a file, whoever the patient is: nothing where it was compiled for use and is approved, in date, and safe as
 * far as its rules go. It looks at what the file says of itself; `limb verify` says whether that is so.
 */
export function againstFile(file: RuleFile, { on }: FollowOptions = {}): AgainstFile[] {
  const isDay = on !== undefined && isRealDate(on);
  if (!isDay && (on !== undefined || hasDates(file))) return [{ kind: "no-day", words: noDay(on) }];
  return [
    ...againstStanding(file, on),
    ...file.proof.verdicts.flatMap((one) => againstVerdict(file, one, on)),
  ];
}

function hasDates({ standing, proof }: RuleFile): boolean {
  const { status, reviewBy } = standing;
  const { accepted, answers } = proof;
  return status.kind === "approved" || reviewBy !== undefined || accepted.length + answers.length > 0;
}

function noDay(on: string | undefined): string {
  return on === undefined
    ? "Dates stand in the rule file, and it was not said which day it is."
    : `\`${on}\` is no day of the calendar, written as year-month-day.`;
}

function againstStanding({ use, standing }: RuleFile, on: string | undefined): AgainstFile[] {
  const { status, reviewBy } = standing;
  const found: AgainstFile[] = [];
  const add = (kind: StandingKind, words: string, byDay = false) =>
    found.push({ kind, name: kind, byDay, words });
  if (use === "draft") add("draft", "The rule file was written as a draft, which is not for use.");
  switch (status.kind) {
    case "draft":
      add("not-approved", "Nobody has approved the protocol: it is a draft.");
      break;
    case "in-review":
      add("not-approved", "Nobody has approved the protocol yet: it is in review.");
      break;
    case "retired":
      add("retired", "The protocol is retired.");
      break;
    case "approved":
      if (on !== undefined && status.on > on) {
        add("not-approved", `The protocol is approved from ${status.on} on, which has not come.`, true);
      }
  }
  if (reviewBy !== undefined && on !== undefined && reviewBy < on) {
    add("overdue", `The protocol was to be reviewed by ${reviewBy}, which is past.`, true);
  }
  return found;
}

/** What a verdict says on a day: what is accepted or answered counts as broken or not decided once that has ended. */
function againstVerdict(file: RuleFile, verdict: Verdict, on: string | undefined): AgainstFile[] {
  const { rule } = verdict;
  const open = (why: string, byDay = false): AgainstFile[] => [
    {
      ...{ kind: "not-decided", name: rule, rule, byDay },
      words: `Whether \`${rule}\` holds, whose breach is unsafe, is not decided: ${why}.`,
    },
  ];
  const ended = () => endedAnswers(file, on).flatMap((why) => open(why, file.proof.answers.length > 0));
  switch (verdict.kind) {
    case "holds":
      return [];
    case "not-decided":
      return verdict.mayBeUnsafe ? open(verdict.limit) : [];
    case "answered":
      return verdict.mayBeUnsafe ? ended() : [];
    case "broken":
      return [
        ...verdict.unsafe.flatMap((found) => againstFound(file, verdict, found, on)),
        ...(verdict.mayBeUnsafe && verdict.open !== undefined ? open(verdict.open) : []),
        ...(verdict.mayBeUnsafe && verdict.answered ? ended() : []),
      ];
  }
}

/** The answers of local rules that do not hold on a day: as an acceptance of what is unsafe, none does for longer than a year. */
function endedAnswers({ proof }: RuleFile, on: string | undefined): string[] {
  if (proof.answers.length === 0) return ["what local rules answer is not in the file"];
  return proof.answers.flatMap(({ agent, until }) => {
    const why = whyNotInForce(until, on);
    return why === undefined ? [] : [`the answer for the maximum of ${agent} ${why}`];
  });
}

function againstFound(
  { proof, standing }: RuleFile,
  { rule }: VerdictBroken,
  found: UnsafeFound,
  on: string | undefined,
): AgainstFile[] {
  const covering = proof.accepted.filter((one) => covers(one, rule, found, standing.reviewBy));
  if (covering.some(({ until }) => whyNotInForce(until, on) === undefined)) return [];
  const [ended] = covering;
  const byDay = ended !== undefined;
  const why = ended ? `; its acceptance ${whyNotInForce(ended.until, on)}` : "";
  const words = `\`${rule}\`, whose breach is unsafe, is broken${why}: ${found.what}`;
  return [{ kind: "broken", name: rule, rule, byDay, words }];
}

/** Whether an acceptance is for something unsafe: it names it, two roles answer for it, and it ends by the review. */
function covers(
  { rule, subject, alsoBy, until, findings }: Acceptance,
  broken: string,
  found: UnsafeFound,
  reviewBy: string | undefined,
): boolean {
  const isNamed = rule === broken && subject !== undefined && subject === found.subject;
  const isWhole = alsoBy !== undefined && (reviewBy === undefined || until <= reviewBy);
  return isNamed && isWhole && findings.includes(found.what);
}

/** Why something that ends does not hold on a day; undefined where it does. */
function whyNotInForce(until: string, on: string | undefined): string | undefined {
  if (on === undefined || !isInForce({ until }, on)) return `ended on ${until}`;
  return until > lastDayAllowed("unsafe", on) ? `ends on ${until}, more than a year ahead` : undefined;
}
