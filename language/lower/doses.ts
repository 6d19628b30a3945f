import {
  CONCENTRATION,
  inBase,
  MASS,
  MASS_RATE,
  quantityText,
  VOLUME,
  VOLUME_RATE,
} from "@limbwright/shared/quantity";
import type * as ast from "../grammar/generated/ast.ts";
import { nodesOfType } from "../grammar/nodes.ts";
import {
  type Adjuvant,
  type Agent,
  type Dose,
  type DoseRepeat,
  massAndVolume,
  type Step,
  type WrittenQuantity,
} from "../model/index.ts";
import { agentOf } from "./agents.ts";
import { type AmountSetting, amountOf } from "./amounts.ts";
import { hasUnread, type Lowering } from "./context.ts";
import { checkName, nameOf, onlyOnce } from "./names.ts";
import { countOf, durationOf, quantityOf, timeOf } from "./quantities.ts";
import { MOST_REPEATS } from "./repeated-injections.ts";
import { syringeOf } from "./syringes.ts";

const REPEATABLE = new Set(["DoseAdjuvant", "Unknown"]);

/** Lowers a dose; `agents` are those in scope, for a suggestion where the agent's name is unknown. */
export function doseOf(
  lowering: Lowering,
  node: ast.Dose,
  agents: readonly Agent[],
  emergency: string | undefined,
): Dose {
  checkName(lowering, node);
  onlyOnce(lowering, node.entries, REPEATABLE);
  const names = () => agents.map((agent) => agent.name);
  const agentNode = lowering.resolve(node, "agent", "agent", names);
  const agent = agentNode && agentOf(lowering, agentNode);
  const concentration = concentrationOf(lowering, node, agent);
  const { entries } = node;
  const [given] = nodesOfType(entries, "DoseAmount");
  const [rated] = nodesOfType(entries, "DoseRate");
  const setting = { lowering, ...(concentration && { concentration }) };
  const amounts = amountsOf(setting, given);
  const rate = amountOf({ ...setting, expected: [MASS_RATE, VOLUME_RATE], place: "`rate`" }, rated?.amount);
  const total = amountOf(
    { ...setting, expected: [MASS, VOLUME], place: "`total up to`" },
    nodesOfType(entries, "DoseTotal")[0]?.amount,
  );
  const over = durationOf(lowering, nodesOfType(entries, "DoseDuration")[0]?.duration, "`over`");
  const repeat = repeatOf(lowering, nodesOfType(entries, "DoseRepeat")[0]);
  const syringe = syringeOf(lowering, nodesOfType(entries, "Syringe")[0]);
  if (!given && !rated && !hasUnread(entries)) reportNothingToGive(lowering, node);
  return {
    name: nameOf(node),
    origin: lowering.originOfHeading(node),
    nameOrigin: lowering.originOfProperty(node, "name"),
    ...(agent && { agent }),
    agentOrigin: lowering.originOfProperty(node, "agent"),
    ...(concentration && { concentration }),
    ...amounts,
    ...(over && { over }),
    ...(repeat && { repeat }),
    ...(rate && { rate }),
    ...(total && { total }),
    ...(syringe && { syringe }),
    adjuvants: nodesOfType(entries, "DoseAdjuvant").map((one) => adjuvantOf(lowering, one, names)),
    ...(emergency !== undefined && { emergency }),
  };
}

function amountsOf(
  setting: Pick<AmountSetting, "lowering" | "concentration">,
  node: ast.DoseAmount | undefined,
): Pick<Dose, "amount" | "sameAmount" | "mass" | "volume"> {
  const expected = { ...setting, expected: [MASS, VOLUME], place: "`amount`" };
  const amount = amountOf(expected, node?.amount);
  const sameAmount = amountOf(expected, node?.same);
  return {
    ...(amount && { amount }),
    ...(sameAmount && { sameAmount }),
    ...massAndVolume(amount, setting.concentration),
  };
}

/** The dose's own concentration, else the agent's only one. */
function concentrationOf(
  lowering: Lowering,
  node: ast.Dose,
  agent: Agent | undefined,
): WrittenQuantity | undefined {
  const declared = agent?.concentrations ?? [];
  if (node.concentration) {
    const named = quantityOf(lowering, node.concentration, [CONCENTRATION], "`at`");
    if (!named || declared.length === 0 || declared.some((one) => inBase(one).equals(inBase(named))))
      return named;
    lowering.report({
      rule: "word-not-known",
      origin: named.origin,
      what: `${agent?.name} is not declared at ${quantityText(named)}.`,
      label: "not one of its concentrations",
      next: `Name one of ${declared.map((one) => quantityText(one)).join(", ")}, or add this one to the agent.`,
      related: declared.map((one) => ({ origin: one.origin, note: "declared here" })),
    });
    return undefined;
  }
  if (declared.length < 2) return declared[0];
  lowering.report({
    rule: "statement-missing",
    origin: lowering.originOfProperty(node, "agent"),
    what: `${agent?.name} comes in ${declared.length} concentrations; the dose has to name the one it means.`,
    label: "which concentration?",
    next: `Write \`of ${agent?.name} at ${quantityText(declared[0] as WrittenQuantity)}\`, or another of its concentrations.`,
  });
  return undefined;
}

function repeatOf(lowering: Lowering, node: ast.DoseRepeat | undefined): DoseRepeat | undefined {
  if (!node) return undefined;
  const times = countOf(lowering, node.times, 1, "`repeat`");
  const interval = timeOf(lowering, node.interval, "`every`");
  if (times === undefined || !interval) return undefined;
  return {
    times,
    interval,
    ...(node.condition !== undefined && {
      condition: { value: node.condition, origin: lowering.originOfProperty(node, "condition") },
    }),
    origin: lowering.originOf(node),
  };
}

function adjuvantOf(lowering: Lowering, node: ast.DoseAdjuvant, names: () => string[]): Adjuvant {
  const agentNode = lowering.resolve(node, "agent", "agent", names);
  const agent = agentNode && agentOf(lowering, agentNode);
  const concentration = agent?.concentrations.length === 1 ? agent.concentrations[0] : undefined;
  const amount = amountOf(
    { lowering, ...(concentration && { concentration }), expected: [MASS, VOLUME], place: "`with`" },
    node.amount,
  );
  return {
    ...(agent && { agent }),
    ...(amount && { amount }),
    ...massAndVolume(amount, concentration),
    origin: lowering.originOf(node),
  };
}

/**
 * The doses that go behind the cuff or into the tissues: they are given by steps alone. One that ran on at a rate would be an injection beside the
 * steps, at a moment that nobody can judge: perhaps with no cuff up. One that repeats is written out as steps, as often as people do that.
 */
export function dosesOfSteps(
  lowering: Lowering,
  doses: readonly Dose[],
  steps: readonly Step[],
): ReadonlySet<string> {
  const names = new Set<string>();
  for (const dose of doses) {
    const step = steps.find((one) => "dose" in one && one.dose === dose.name && wordsElsewhere(one));
    if (!step) continue;
    names.add(dose.name);
    const says = wordsElsewhere(step);
    const related = [{ origin: step.origin, note: "given here" }];
    if (dose.repeat && dose.repeat.times > MOST_REPEATS) {
      lowering.report({
        rule: "value-out-of-range",
        origin: dose.repeat.origin,
        what: `\`${says}\` is an injection; ${dose.repeat.times} more of it are more than any block has.`,
        label: `more than ${MOST_REPEATS} times`,
        next: `Write at most \`repeat ${MOST_REPEATS} times\`, or the injections as steps of their own.`,
        related,
      });
    }
    if (dose.rate) {
      lowering.report({
        rule: "statement-out-of-place",
        origin: dose.rate.origin,
        what: `\`${says}\` is a step; a \`rate\` would run on beside the steps, behind whatever cuff is then up.`,
        label: "would run on beside the steps",
        next: "Write `amount`, and `over` for how long the injection takes.",
        related,
      });
    }
  }
  return names;
}

/** The words of a step that gives a dose, but not into the circulation; undefined for any other. */
function wordsElsewhere(step: Step): string | undefined {
  if (step.kind === "inject") return `inject ${step.dose}`;
  return step.kind === "give" && step.as ? `give ${step.dose} as ${step.as}` : undefined;
}

function reportNothingToGive(lowering: Lowering, node: ast.Dose): void {
  lowering.report({
    rule: "statement-missing",
    origin: lowering.originOfKeyword(node, "dose"),
    what: `The dose \`${node.name}\` has no amount and no rate.`,
    label: "how much?",
    next: "Add `amount`, such as `amount 3 mg/kg up to 200 mg`, or `rate`.",
  });
}
