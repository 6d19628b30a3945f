import type * as ast from "../grammar/generated/ast.ts";
import type { Action, Comparison, Property, Requirement, StateCondition } from "../model/index.ts";
import type { Lowering } from "./context.ts";
import type { Names } from "./names.ts";
import { timeOf } from "./quantities.ts";
import { cuffChoiceOf, topicOf } from "./steps.ts";
import { momentOf } from "./timers.ts";

export interface RequirementSetting {
  readonly lowering: Lowering;
  readonly names: Names;
}

/** Lowers a requirement; undefined where part of it is not understood, which is reported. */
export function requirementOf(setting: RequirementSetting, node: ast.Requirement): Requirement | undefined {
  const property = node.property && propertyOf(setting, node.property);
  return property && { title: node.title ?? "", origin: setting.lowering.originOfHeading(node), property };
}

function propertyOf(setting: RequirementSetting, node: ast.Property): Property | undefined {
  if (node.$type === "Never") {
    const condition = conditionOf(setting, node.condition);
    return condition && { kind: "never", condition };
  }
  const action = actionOf(setting, node.action);
  switch (node.$type) {
    case "OnlyWhen": {
      const condition = conditionOf(setting, node.condition);
      return action && condition && { kind: "only-when", action, condition };
    }
    case "OnlyAfter": {
      const earlier = actionOf(setting, node.earlier);
      return action && earlier && { kind: "only-after", action, earlier };
    }
    case "Within": {
      const earlier = actionOf(setting, node.earlier);
      const limit = timeOf(setting.lowering, node.limit, "`within`");
      return action && earlier && limit && { kind: "within", action, limit, earlier };
    }
  }
}

/** Lowers a step as a requirement or a scenario names it. */
export function actionOf(setting: RequirementSetting, node: ast.Action | undefined): Action | undefined {
  const { lowering, names } = setting;
  switch (node?.$type) {
    case "ActionApply":
      return { kind: "apply-cuffs" };
    case "ActionInsert":
      return { kind: "insert-cannula" };
    case "ActionRemove":
      return { kind: node.object === "bandage" ? "remove-bandage" : "remove-cannula" };
    case "ActionExsanguinate":
      return { kind: "exsanguinate" };
    case "ActionCuff": {
      const cuffs = cuffChoiceOf(setting, node);
      if (node.verb !== "deflate") return cuffs && node.verb && { kind: node.verb, cuffs };
      const flatFor = timeOf(lowering, node.duration, "`for`");
      const forEmergency = node.forEmergency && ({ forEmergency: true } as const);
      return cuffs && { kind: "deflate", cuffs, ...(flatFor && { flatFor }), ...forEmergency };
    }
    case "ActionDose": {
      const dose = lowering.resolve(node, "dose", "dose", () => names.doses);
      return dose && { kind: node.verb, dose: dose.name };
    }
    case "ActionTask": {
      const topic = topicOf(lowering, node);
      return { kind: "task", ...(topic && { topic }), ...(node.text !== undefined && { text: node.text }) };
    }
    case undefined:
      return undefined;
  }
}

function conditionOf(
  setting: RequirementSetting,
  node: ast.StateCondition | undefined,
): StateCondition | undefined {
  switch (node?.$type) {
    case "Either":
    case "Both": {
      const left = conditionOf(setting, node.left);
      const right = conditionOf(setting, node.right);
      return left && right && { kind: node.$type === "Either" ? "or" : "and", left, right };
    }
    case "Not": {
      const of = conditionOf(setting, node.of);
      return of && { kind: "not", of };
    }
    case "CuffState": {
      const cuffs = cuffChoiceOf(setting, node);
      return cuffs && node.state && { kind: "cuff", cuffs, state: node.state };
    }
    case "BandageState":
      return { kind: "bandage", on: node.state === "on" };
    case "CannulaState":
      return { kind: "cannula", in: node.state === "in" };
    case "DrugInLimb":
      return { kind: "drug-in-limb" };
    case "Occluded":
      return { kind: "occluded" };
    case "SinceComparison": {
      const moment = momentOf(setting.lowering, node.moment, setting.names);
      const limit = timeOf(setting.lowering, node.limit, "`since`");
      return moment && limit && { kind: "since", moment, comparison: comparisonOf(node), limit };
    }
    case "TimerComparison": {
      const timer = setting.lowering.resolve(node, "timer", "timer", () => setting.names.timers);
      const limit = timeOf(setting.lowering, node.limit, "A timer");
      return timer && limit && { kind: "timer", timer: timer.name, comparison: comparisonOf(node), limit };
    }
    case undefined:
      return undefined;
  }
}

function comparisonOf(node: ast.SinceComparison | ast.TimerComparison): Comparison {
  if (node.under) return "under";
  if (node.over) return "over";
  return node.least ? "least" : "most";
}
