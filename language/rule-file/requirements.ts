import type {
  Action as FileAction,
  Moment as FileMoment,
  Property as FileProperty,
  Requirement as FileRequirement,
  State,
} from "@limbwright/shared/rule-file";
import type { Action, Moment, Property, Protocol, StateCondition } from "../model/index.ts";
import { requirementsInOrder } from "../runs/index.ts";
import { cuffChoicePart, type StepContext } from "./steps.ts";
import { fileQuantity } from "./values.ts";

/** In the order by whose places the automaton names them. */
export function requirementParts(context: StepContext, protocol: Protocol): FileRequirement[] {
  return requirementsInOrder(protocol).map(({ title, property, origin }) =>
    context.marks.at({ title, property: propertyPart(context, property) }, origin),
  );
}

export function momentPart(moment: Moment): FileMoment {
  if (moment.kind === "first-inflation" || moment.kind === "release") return { kind: moment.kind };
  const { kind, target, targetKind } = moment;
  return { kind, target, targetKind };
}

function propertyPart(context: StepContext, property: Property): FileProperty {
  switch (property.kind) {
    case "never":
      return { kind: property.kind, condition: statePart(context, property.condition) };
    case "only-when":
      return {
        kind: property.kind,
        action: actionPart(context, property.action),
        condition: statePart(context, property.condition),
      };
    case "only-after":
      return {
        kind: property.kind,
        action: actionPart(context, property.action),
        earlier: actionPart(context, property.earlier),
      };
    case "within":
      return {
        kind: property.kind,
        action: actionPart(context, property.action),
        limit: fileQuantity(property.limit),
        earlier: actionPart(context, property.earlier),
      };
  }
}

function actionPart({ cuffs: all }: StepContext, action: Action): FileAction {
  switch (action.kind) {
    case "inflate":
    case "confirm":
      return { kind: action.kind, cuffs: cuffChoicePart(all, action.cuffs) };
    case "deflate": {
      const { flatFor } = action;
      const cuffs = cuffChoicePart(all, action.cuffs);
      return { kind: action.kind, cuffs, ...(flatFor && { flatFor: fileQuantity(flatFor) }) };
    }
    case "inject":
    case "give":
      return { kind: action.kind, dose: action.dose };
    case "task": {
      const { kind, topic, text } = action;
      return { kind, ...(topic && { topic }), ...(text !== undefined && { text }) };
    }
    case "apply-cuffs":
    case "insert-cannula":
    case "remove-cannula":
    case "remove-bandage":
    case "exsanguinate":
      return { kind: action.kind };
  }
}

function statePart(context: StepContext, state: StateCondition): State {
  switch (state.kind) {
    case "and":
    case "or":
      return {
        kind: state.kind,
        left: statePart(context, state.left),
        right: statePart(context, state.right),
      };
    case "not":
      return { kind: state.kind, of: statePart(context, state.of) };
    case "cuff":
      return { kind: state.kind, cuffs: cuffChoicePart(context.cuffs, state.cuffs), state: state.state };
    case "bandage":
      return { kind: state.kind, on: state.on };
    case "cannula":
      return { kind: state.kind, in: state.in };
    case "since": {
      const { kind, moment, comparison, limit } = state;
      return { kind, moment: momentPart(moment), comparison, limit: fileQuantity(limit) };
    }
    case "timer": {
      const { kind, timer, comparison, limit } = state;
      return { kind, timer, comparison, limit: fileQuantity(limit) };
    }
    case "drug-in-limb":
    case "occluded":
      return { kind: state.kind };
  }
}
