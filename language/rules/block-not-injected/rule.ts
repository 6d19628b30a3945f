import { originKey } from "@limbwright/shared/finding";
import {
  allSteps,
  type Dose,
  doseGivenBy,
  type Protocol,
  type Step,
  stepsWithin,
} from "../../model/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { type Detected, found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import { whyUndecided } from "../engine/over-runs.ts";
import { isLocalAnaesthetic, isOtherDrug } from "../facts/drugs.ts";

export const rule: Rule<"runs"> = { needs: ["runs"], emptiesRuns: true, judge };

function judge({ rule, protocol, runs }: RuleContext<"runs">): Judgement {
  if (protocol.incomplete) return undecided("part of the steps was not understood");
  const injections = injectionsOf(protocol);
  const blocks = injections.filter((step) => isBlock(doseGivenBy(step, protocol)));
  const unknown = injections.find((step) => isUnknown(doseGivenBy(step, protocol)));
  if (blocks.length === 0) {
    return unknown
      ? undecided(`whether \`${unknown.dose}\` is a local anaesthetic is not known`, unknown.origin)
      : found(noInjection(protocol, injections));
  }
  if (runs.kind === "not-explored") return { found: [], undecided: whyUndecided(runs, rule.id) };
  const unreached = new Set(runs.unreached.map(({ origin }) => originKey(origin)));
  const [first, ...others] = blocks;
  if (!first || [first, ...others].some(({ origin }) => !unreached.has(originKey(origin)))) return HOLDS;
  const open = whyUndecided(runs, rule.id);
  return open.length > 0 ? { found: [], undecided: open } : found(neverReached(first));
}

type Injection = Extract<Step, { readonly kind: "inject" }>;

/** Those of the plan and of what is done beside it: an emergency injects no block. */
function injectionsOf({ steps = [], throughout }: Protocol): Injection[] {
  const lists = [steps, ...throughout.map((handler) => handler.steps)];
  return lists.flatMap((list) => [...stepsWithin(list)]).filter((step) => step.kind === "inject");
}

function isBlock(dose: Dose | undefined): boolean {
  return isLocalAnaesthetic(dose?.agent);
}

function isUnknown(dose: Dose | undefined): boolean {
  const agent = dose?.agent;
  return !agent || (agent.kind === undefined && !isOtherDrug(agent));
}

function noInjection(protocol: Protocol, [other]: readonly Injection[]): Detected {
  const { name, nameOrigin } = protocol;
  if (other) {
    const agent = doseGivenBy(other, protocol)?.agent?.name;
    return {
      origin: other.origin,
      what: `\`${name}\` injects ${agent ?? other.dose}, which is no local anaesthetic, and nothing else: there is no block to prove anything of.`,
      label: "no local anaesthetic",
      next: "Inject a dose of a local anaesthetic; what is mixed into it stands in that dose, as `with …`.",
    };
  }
  const given = [...allSteps(protocol)].find(
    (step) => step.kind === "give" && isBlock(doseGivenBy(step, protocol)),
  );
  return {
    origin: given?.origin ?? nameOrigin,
    what: `No step of \`${name}\` injects a local anaesthetic behind a cuff: there is no block to prove anything of.`,
    label: "no block is injected",
    next: "Write `inject DOSE` where the block is injected.",
  };
}

function neverReached({ dose, origin }: Injection): Detected {
  return {
    origin,
    what: `No run comes to \`inject ${dose}\`, nor to any other injection of the block: there is nothing to prove.`,
    label: "never injected",
    next: "Change what stands before it so that some run gets here.",
  };
}
