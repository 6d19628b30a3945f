import {
  type AcceptedBy,
  type Finding,
  isAtLeast,
  isInForce,
  lastDayAllowed,
} from "@limbwright/shared/finding";
import { listText } from "@limbwright/shared/text";
import type { Acceptance, Protocol } from "../../model/index.ts";
import type { Box } from "../../population/index.ts";
import {
  acceptancesFor,
  isFor,
  isOverLimitLike,
  lacksForUnsafe,
  longestOf,
  names,
  upToText,
} from "./acceptances.ts";
import type { AnyRule, AskedUpTo } from "./definition.ts";
import type { Detected, Judgement, Words } from "./judgement.ts";

/** What of a finding decides whether an acceptance covers it. */
type Accepting = Pick<Finding, "rule" | "severity" | "subject" | "limitUnit">;

export interface CoveringOf {
  readonly protocol: Protocol;
  readonly box: Box;
  readonly rules: readonly AnyRule[];
  /** What a rule found in the protocol as it is. */
  readonly judged: (rule: AnyRule) => Judgement;
  /** What it finds in another one. */
  readonly judge: (rule: AnyRule, protocol: Protocol) => Judgement;
}

/**
 * Which acceptances of a protocol cover what. Whether one up to a value covers something, is decided by judging the rule once more,
 * with that value for the one limit; nothing else is judged otherwise for it.
 */
export class Covering {
  readonly #of: CoveringOf;
  readonly #acceptances: readonly Acceptance[];
  readonly #withValue = new Map<Acceptance, Judgement>();

  constructor(of: CoveringOf) {
    this.#of = of;
    this.#acceptances = acceptancesFor(of.protocol);
  }

  /** Whether an acceptance covers a finding, whatever the day. */
  covers(acceptance: Acceptance, finding: Accepting): boolean {
    const rule = this.#rule(finding.rule);
    if (!rule || !isFor(acceptance, finding, rule, this.#of.protocol)) return false;
    if (!acceptance.upTo) return true;
    const asked = this.#asked(acceptance);
    if (!asked || this.refusalUpTo(acceptance)) return false;
    return isWithin(rule, asked, this.#of.judged(rule), this.#judgedWith(rule, asked));
  }

  /** The acceptance that covers a finding on a day; undefined when none does. */
  acceptedBy(finding: Accepting, on: string): AcceptedBy | undefined {
    const last = lastDayAllowed(finding.severity, on, longestOf(this.#of.protocol, this.#of.rules));
    const one = this.#acceptances.find(
      (acceptance) =>
        isInForce(acceptance, on) && acceptance.until <= last && this.covers(acceptance, finding),
    );
    return one && acceptedBy(one);
  }

  /** Why an acceptance up to a value covers nothing, whatever is found; undefined where nothing speaks against it. */
  refusalUpTo(acceptance: Acceptance): Words | undefined {
    const asked = this.#asked(acceptance);
    return asked && this.#rule(acceptance.rule)?.upTo?.refusal(asked);
  }

  /** A finding with the acceptances beside it that name it and do not go as far; in an order that a rule file keeps, too. */
  withNotes(finding: Finding): Finding {
    const rule = this.#rule(finding.rule);
    const tooShort = this.#acceptances.filter(
      (one) => rule && one.upTo && names(one, finding, rule) && !this.covers(one, finding),
    );
    if (tooShort.length === 0) return finding;
    const notes = tooShort
      .map((one) => ({ origin: one.origin, note: this.#whyNot(one) }))
      .sort((a, b) => (a.note < b.note ? -1 : 1));
    return { ...finding, related: [...finding.related, ...notes] };
  }

  #whyNot(acceptance: Acceptance): string {
    const isNothing =
      lacksForUnsafe(acceptance, this.#of.protocol) !== undefined ||
      this.refusalUpTo(acceptance) !== undefined;
    const value = `accepted up to ${upToText(acceptance)}`;
    return isNothing ? `${value}, in words that cover nothing` : `${value}, which does not cover it`;
  }

  #rule(id: string): AnyRule | undefined {
    return this.#of.rules.find((rule) => rule.id === id);
  }

  #asked(acceptance: Acceptance): AskedUpTo | undefined {
    const { protocol, box } = this.#of;
    const { subject, upTo: value } = acceptance;
    return value && subject !== undefined ? { subject, value, acceptance, protocol, box } : undefined;
  }

  #judgedWith(rule: AnyRule, asked: AskedUpTo): Judgement {
    if (!rule.upTo) throw new Error(`${rule.id} does not say how it is judged with a value`);
    const judgement =
      this.#withValue.get(asked.acceptance) ?? this.#of.judge(rule, rule.upTo.withValue(asked));
    this.#withValue.set(asked.acceptance, judgement);
    return judgement;
  }
}

function acceptedBy(acceptance: Acceptance): AcceptedBy {
  const { because, by, alsoBy, until, origin } = acceptance;
  const upTo = upToText(acceptance);
  return {
    ...(upTo !== undefined && { upTo }),
    because,
    by: listText([by, ...(alsoBy === undefined ? [] : [alsoBy])]),
    until,
    origin,
  };
}

/**
 * Whether nothing is over the value: judged with it, the rule finds nothing over a limit of that kind, nor anything unsafe that it did
 * not find before, and leaves nothing more open.
 */
function isWithin(
  rule: AnyRule,
  { subject, value }: AskedUpTo,
  before: Judgement,
  again: Judgement,
): boolean {
  const isLike = (a: Detected, b: Detected) => a.subject === b.subject && a.limitUnit === b.limitUnit;
  const isOver = (one: Detected) => one.subject === subject && isOverLimitLike(value.unit, one);
  const isWorse = (one: Detected) => isOver(one) || !before.found.some((other) => isLike(one, other));
  return (
    !again.found.some((one) => isAtLeast(one.severity ?? rule.severity, "unsafe") && isWorse(one)) &&
    again.undecided.every(({ limit }) => before.undecided.some((one) => one.limit === limit))
  );
}
