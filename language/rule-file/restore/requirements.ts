import type { Origin } from "@limbwright/shared/finding";
import type {
  Action as FileAction,
  Moment as FileMoment,
  Property as FileProperty,
  Requirement as FileRequirement,
  State,
} from "@limbwright/shared/rule-file";
import type { Action, Moment, Property, Requirement, StateCondition } from "../../model/index.ts";
import type { Places } from "./places.ts";
import { cuffChoiceFrom } from "./steps.ts";
import { quantityFrom } from "./values.ts";

export function requirementsFrom(places: Places, requirements: readonly FileRequirement[]): Requirement[] {
  return places.inTextOrder(requirements, "/protocol/requirements", ({ title, property }, path) => {
    const origin = places.at(path);
    return { title, origin, property: propertyFrom(property, origin) };
  });
}

export function momentFrom(moment: FileMoment, origin: Origin): Moment {
  return { ...moment, origin };
}

function propertyFrom(property: FileProperty, origin: Origin): Property {
  switch (property.kind) {
    case "never":
      return { kind: property.kind, condition: stateFrom(property.condition, origin) };
    case "only-when":
      return {
        kind: property.kind,
        action: actionFrom(property.action, origin),
        condition: stateFrom(property.condition, origin),
      };
    case "only-after":
      return {
        kind: property.kind,
        action: actionFrom(property.action, origin),
        earlier: actionFrom(property.earlier, origin),
      };
    case "within":
      return {
        kind: property.kind,
        action: actionFrom(property.action, origin),
        limit: quantityFrom(property.limit, origin),
        earlier: actionFrom(property.earlier, origin),
      };
  }
}

function actionFrom(action: FileAction, origin: Origin): Action {
  switch (action.kind) {
    case "inflate":
    case "confirm":
      return { kind: action.kind, cuffs: cuffChoiceFrom(action.cuffs) };
    case "deflate": {
      const flatFor = action.flatFor && quantityFrom(action.flatFor, origin);
      return { kind: action.kind, cuffs: cuffChoiceFrom(action.cuffs), ...(flatFor && { flatFor }) };
    }
    case "apply-cuffs":
    case "insert-cannula":
    case "remove-cannula":
    case "remove-bandage":
    case "exsanguinate":
    case "inject":
    case "give":
    case "task":
      return { ...action };
  }
}

function stateFrom(state: State, origin: Origin): StateCondition {
  switch (state.kind) {
    case "and":
    case "or":
      return { kind: state.kind, left: stateFrom(state.left, origin), right: stateFrom(state.right, origin) };
    case "not":
      return { kind: state.kind, of: stateFrom(state.of, origin) };
    case "cuff":
      return { kind: state.kind, cuffs: cuffChoiceFrom(state.cuffs), state: state.state };
    case "since":
      return {
        ...state,
        moment: momentFrom(state.moment, origin),
        limit: quantityFrom(state.limit, origin),
      };
    case "timer":
      return { ...state, limit: quantityFrom(state.limit, origin) };
    case "bandage":
    case "cannula":
    case "drug-in-limb":
    case "occluded":
      return { ...state };
  }
}
