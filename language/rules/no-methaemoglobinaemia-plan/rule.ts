import { amountText } from "@limbwright/shared/quantity";
import {
  type Dose,
  type Emergency,
  type Handler,
  massUnitOf,
  type Protocol,
  type Step,
  stepsWithin,
} from "../../model/index.ts";
import { compare, type Expression, regionsText } from "../../population/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { absoluteText, evidenceOf } from "../engine/evidence.ts";
import { type Detected, found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import { totalOf } from "../facts/cumulative.ts";
import { agentsIn, isMethylthioninium, isPrilocaine } from "../facts/drugs.ts";
import { dosesGivenIn, emergenciesFrom } from "../facts/emergencies-reached.ts";
import { mostGiven } from "../facts/most-given.ts";
import { repairByPlan } from "./plan-repair.ts";

export const rule: Rule = { judge };

function judge(context: RuleContext): Judgement {
  const { protocol } = context;
  const doses = protocol.doses.filter((dose) => agentsIn(dose).some(isPrilocaine));
  const [first] = doses;
  if (!first) {
    const unknown = protocol.doses.find(({ agent }) => !agent);
    return unknown ? undecided(`the drug of \`${unknown.name}\` is not known`, unknown.agentOrigin) : HOLDS;
  }
  if (findPlans(protocol).length > 0) return HOLDS;
  if (protocol.incomplete) return undecided("part of the steps was not understood", first.agentOrigin);
  return found({
    origin: first.agentOrigin,
    what: `\`${protocol.name}\` uses prilocaine, and nothing in \`throughout\` leads to an emergency that gives methylthioninium.`,
    label: "no plan for methaemoglobinaemia",
    subject: agentsIn(first).find(isPrilocaine)?.name ?? "prilocaine",
    next: 'Declare an event such as `event blue-patient "Cyanosis, chocolate-brown blood"`, write `when blue-patient { go to emergency NAME }` in `throughout`, and give methylthioninium there.',
    repairs: repairByPlan(protocol),
    ...largeDose(context, doses),
  });
}

/** The emergencies with methylthioninium that a handler leads to, whenever it is needed until recovery ends. */
function findPlans(protocol: Protocol): Emergency[] {
  const answers = [...protocol.throughout, ...inForceInRecovery(protocol)];
  return emergenciesFrom(
    protocol,
    answers.filter(({ kind }) => kind === "event"),
  ).filter((emergency) => givesMethylthioninium(protocol, emergency));
}

/** The handlers of a stage that is around all of recovery: methaemoglobin comes after the release. */
function inForceInRecovery({ steps = [] }: Protocol): Handler[] {
  const recoveries = recoveriesIn(steps);
  const isAroundAll = (stage: Step & { readonly kind: "stage" }) =>
    recoveries.length > 0 && recoveriesIn(stage.steps).length === recoveries.length;
  return [...stepsWithin(steps)].flatMap((step) =>
    step.kind === "stage" && isAroundAll(step) ? step.handlers.filter(isInForceAtOnce) : [],
  );
}

function recoveriesIn(steps: readonly Step[]): Step[] {
  return [...stepsWithin(steps)].filter(({ kind }) => kind === "recovery");
}

function isInForceAtOnce(handler: Handler): boolean {
  return handler.kind === "event" && !handler.notBefore;
}

function givesMethylthioninium(protocol: Protocol, emergency: Emergency): boolean {
  return dosesGivenIn(protocol, emergency).some(({ agent }) => isMethylthioninium(agent));
}

/** Unsafe, with the patients, when a run can give as much as methaemoglobinaemia was seen from. */
function largeDose(context: RuleContext, doses: readonly Dose[]): Partial<Detected> {
  const limit = context.parameter("unsafe-from").value;
  const most = mostInRun(context.protocol, doses);
  if (!most) return {};
  const answer = compare(most, "under", { kind: "constant", value: limit }, context.box, {
    cancelled: context.isCancelled,
  });
  if (answer.kind !== "broken") return {};
  const milligrams = amountText(limit, "mg");
  const [told = "mg"] = doses.map(massUnitOf);
  return {
    severity: "unsafe",
    label: `no plan, from ${milligrams} on`,
    why: `From about ${milligrams} of prilocaine methaemoglobinaemia is clinically significant: ${regionsText(answer.regions)}.`,
    patients: evidenceOf(answer, (witness) => absoluteText(witness, told)),
  };
}

/** All prilocaine that a run may give, in mg; undefined when it cannot be told. */
function mostInRun(protocol: Protocol, doses: readonly Dose[]): Expression | undefined {
  const prilocaine = doses
    .flatMap(agentsIn)
    .filter((agent) => agent !== undefined)
    .filter(isPrilocaine);
  const most = mostGiven(protocol);
  if (prilocaine.length === 0 || "limit" in most) return undefined;
  const totals = most.map((counts) => totalOf(prilocaine, counts, protocol, "mass"));
  return totals.reduce<Expression | undefined>((greatest, total) => {
    if (total.kind === "unknown") return greatest;
    return greatest ? { kind: "greater", left: greatest, right: total.amount } : total.amount;
  }, undefined);
}
