import type { Severity } from "@limbwright/shared/finding";
import type { Acceptance, Agent, Protocol, WrittenQuantity } from "../../model/index.ts";
import type { Box } from "../../population/index.ts";
import type { Instant, Runs, RunsWithLeak, Watched, WatchedCheck } from "../../runs/index.ts";
import type { HazardId } from "../hazards/hazards.ts";
import type { Citation } from "../sources/sources.ts";
import type { Judgement, Words } from "./judgement.ts";
import type { Parameter, ParameterValue } from "./parameter.ts";

export type Group = "text" | "numbers" | "dose" | "cuff" | "time" | "readiness" | "governance";

/**
 * What a rule may need beside the protocol: its runs, how it compares with its earlier version, or what the rules
 * judged before have found. A rule sees in its context only what it says it needs. Whoever judges at once puts off the
 * rules that need what takes time.
 */
export type Need = "runs" | "earlier-version" | "findings";

/**
 * What a rule asks for, as its page states it: the head of `page.md`, in the folder of the rule's name. What a clinician or a
 * board reviews stands there and nowhere else.
 */
export interface StatedRule {
  readonly id: string;
  /** One line, in plain words, that says what the rule asks for. */
  readonly title: string;
  readonly group: Group;
  readonly severity: Severity;
  /** The severity of the worst that it may find, where that is more than its own. */
  readonly worst?: Severity;
  /** One sentence for a finding: why it matters. */
  readonly why: string;
  /** The hazards of the log that it guards against; an unsafe rule has one. */
  readonly hazards: readonly HazardId[];
  readonly sources: readonly Citation[];
  readonly parameters: readonly Parameter[];
  /** `false` where no hospital may accept a finding, "doubtful" where it may accept one that is not unsafe. */
  readonly acceptable?: false | "doubtful";
  /**
   * Where what it finds unsafe can be accepted up to a value all the same: the units that such a value may have. Its logic says
   * how it is judged with that value (`upTo`).
   */
  readonly acceptedUpTo?: readonly string[];
  /** Whether the answer depends on the day it is asked, so that no compiled file can give it. */
  readonly judgedOnDate?: true;
  /** Whether a protocol of which it finds something is written as a draft only, however severe the finding is. */
  readonly draftOnly?: true;
}

/**
 * How a rule is judged: on a protocol (`judge`), on each agent that is used (`judgeAgent`), or, when it has neither, while the
 * text is read: the reading reports it under the rule's id.
 */
export type Rule<N extends Need = never> = RuleLogic & {
  readonly judge?: (context: RuleContext<N>) => Judgement;
} & ([N] extends [never] ? unknown : { readonly needs: readonly [N, ...N[]] });

/** A rule of the catalogue, whatever it needs: what its page states, and how it is judged. */
export interface AnyRule extends StatedRule, RuleLogic {
  /**
   * What it needs. Where it needs the earlier version of a protocol that has none, or says the same as it, the rule is not judged
   * at all; no compiled file can give its answer.
   */
  readonly needs?: readonly Need[];
  readonly judge?: (context: RuleContext<Need>) => Judgement;
}

interface RuleLogic {
  /** Which protocols it is about; of others it is not judged at all. */
  readonly isAbout?: (protocol: Protocol) => boolean;
  /** Whether there is nothing to prove about order and time where it is broken: then no rule over runs is said to hold. */
  readonly emptiesRuns?: true;
  /** Whether it comes after all others, as a rule that needs their findings does. */
  readonly comesLast?: true;
  /**
   * What the rule watches for in every run: asked once for each instant of the protocol. What some run does is
   * then found in `context.runs`.
   */
  readonly watch?: (watched: Watched) => (instant: Instant) => readonly WatchedCheck[];
  /** Whether it also watches emergencies after toxicity signs, where the rules of cuff and time are no longer judged. */
  readonly watchesEmergencies?: true;
  readonly judgeAgent?: (agent: Agent, context: AgentContext) => Judgement;
  /** How it is judged with the value up to which something is accepted; there where its page has `accepted-up-to`. */
  readonly upTo?: UpTo;
}

/** What an acceptance up to a value comes to for a rule. */
export interface UpTo {
  /** Why it covers nothing in this protocol, whatever is found; undefined where nothing speaks against it. */
  readonly refusal: (asked: AskedUpTo) => Words | undefined;
  /** The protocol with the value for the limit of what is named: every other limit is as before. It is judged, and nothing else. */
  readonly withValue: (asked: AskedUpTo) => Protocol;
}

export interface AskedUpTo {
  readonly subject: string;
  readonly value: WrittenQuantity;
  readonly acceptance: Acceptance;
  readonly protocol: Protocol;
  readonly box: Box;
}

export interface AgentContext {
  /** A parameter of this rule, or of the catalogue (action times, child age), as local rules set it. */
  readonly parameter: (name: string) => ParameterValue;
  /** The day on which dates are judged, YYYY-MM-DD. */
  readonly on: string;
}

interface ProtocolContext extends AgentContext {
  /** The rule that is judged, as its page states it. */
  readonly rule: StatedRule;
  readonly protocol: Protocol;
  /** The patients the protocol covers; where they were not understood, a rule that asks is not decided. */
  readonly box: Box;
  readonly isCancelled: () => boolean;
}

/** What a rule is judged with. */
export type RuleContext<N extends Need = never> = ProtocolContext &
  ("runs" extends N ? RunsContext : unknown) &
  ("earlier-version" extends N ? EarlierVersionContext : unknown) &
  ("findings" extends N ? FindingsContext : unknown);

interface RunsContext {
  /** Every run of the protocol; gone through when it is first asked for. */
  readonly runs: Runs;
  /** The same with one cuff losing its pressure at any moment. */
  readonly leaks: RunsWithLeak;
}

interface EarlierVersionContext {
  /** How the protocol compares with its earlier version. */
  readonly earlierVersion: ComparedWithEarlier;
}

interface FindingsContext {
  /** The findings of all rules judged before. */
  readonly earlier: readonly Earlier[];
  /** The rules judged before that hold. */
  readonly holding: readonly string[];
  /** Why an acceptance up to a value covers nothing, whatever is found. */
  readonly refusalUpTo: (acceptance: Acceptance) => Words | undefined;
}

/** How a protocol compares with its earlier version. */
export type ComparedWithEarlier =
  | { readonly kind: "not-compared"; readonly limit: string }
  | {
      readonly kind: "compared";
      /** What the earlier version is called: "`HEAD`". */
      readonly name: string;
      /** Its number; undefined where it has none. */
      readonly before?: string;
      /** The number that the changes ask to be raised, and the one that was. */
      readonly needed: RaisedPart | "none";
      readonly raised: RaisedPart | "none" | "lowered";
      readonly isEnough: boolean;
      /** "2 looser, 1 tighter". */
      readonly says: string;
      /** Why not everything could be compared. */
      readonly limit?: string;
    };

type RaisedPart = "first" | "second" | "third";

export interface Earlier {
  readonly rule: string;
  readonly severity: Severity;
  readonly accepted: boolean;
}
