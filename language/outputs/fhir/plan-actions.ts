import type { PrepareItem } from "../../model/index.ts";
import { rangeText, VARIABLES } from "../../population/index.ts";
import { conditionText, prepareText } from "../sheet/build-sheet.ts";
import {
  type ActionContext,
  applicabilityOf,
  emergencyEvent,
  groupOf,
  handlerAction,
  stepActions,
} from "./actions.ts";
import type { GivenDose } from "./activity-definitions.ts";
import type { Interchange } from "./definitions.ts";
import { type MomentActions, MomentNotes } from "./moments.ts";
import { NotCodedList } from "./not-coded.ts";
import { drugCode } from "./products.ts";
import { everyOf } from "./quantities.ts";
import type { Action, Applicability } from "./resources.ts";
import { PREPARATION, STEP } from "./systems.ts";
import { codeableConcept, stringOf } from "./texts.ts";

/**
 * What a protocol does: the procedure with all its steps, what may interrupt it, and the emergencies. Made twice: the first
 * time tells which action begins which clock, which may stand after the actions that count from it.
 */
export function planActions(interchange: Interchange, doses: readonly GivenDose[]): Action[] {
  const first = buildActions({ ...interchange, notCoded: new NotCodedList() }, doses, new Map());
  return buildActions(interchange, doses, first.moments).actions;
}

function buildActions(interchange: Interchange, doses: readonly GivenDose[], moments: MomentActions) {
  const { protocol } = interchange;
  const emergencies = new Map(protocol.emergencies.map(({ name }, at) => [name, `emergency-${at + 1}`]));
  const notes = new MomentNotes();
  let count = 0;
  const nextId = () => {
    count += 1;
    return `action-${count}`;
  };
  const context: ActionContext = { interchange, doses, emergencies, moments, notes, nextId };
  const actions = [procedureAction(context), ...throughoutActions(context), ...emergencyActions(context)];
  return { actions, moments: notes.all() };
}

function procedureAction(context: ActionContext): Action {
  const { interchange } = context;
  const { protocol } = interchange;
  const before = [...careActions(context), ...prepareActions(context)];
  const [first, ...others] = stepActions(context, protocol.steps);
  const last = before.at(-1);
  const steps =
    first && last ? [{ ...first, relatedAction: [after(last)] }, ...others] : first ? [first, ...others] : [];
  return {
    id: "procedure",
    title: stringOf(protocol.title ?? protocol.name),
    condition: applicability(interchange),
    ...groupOf([...before, ...steps]),
    selectionBehavior: "all",
  };
}

function after({ id }: Action) {
  return { actionId: id, relationship: "after-end" as const };
}

/** For whom the protocol is: each measure and each contraindication is a condition of its own. */
function applicability({ protocol, notCoded }: Interchange): Applicability[] {
  const { bounds, conditions } = protocol.patients;
  const measures = VARIABLES.flatMap((variable) => {
    const range = bounds[variable];
    return range ? [`The patient's ${MEASURES[variable]} is ${rangeText(range.interval, range.unit)}`] : [];
  });
  const hindrances = conditions.flatMap((one) =>
    one.decision === "contraindicated"
      ? [`The patient does not have this contraindication: ${conditionText(one)}`]
      : [],
  );
  const all = [...measures, ...hindrances];
  for (const words of all) notCoded.inWords("patients", `a condition that a person has to judge: ${words}`);
  return all.map((words) => applicabilityOf("applicability", words));
}

const MEASURES = {
  weight: "body weight",
  age: "age",
  systolic: "systolic blood pressure",
  circumference: "limb circumference",
};

/** Cautions, and what was decided to be no hindrance. */
function careActions({ interchange, nextId }: ActionContext): Action[] {
  const { patients } = interchange.protocol;
  return patients.conditions.flatMap((one): Action[] => {
    if (one.decision === "contraindicated") return [];
    interchange.notCoded.inWords("patients", `${one.decision}: ${conditionText(one)}`);
    const title = one.decision === "caution" ? `Take care: ${conditionText(one)}` : conditionText(one);
    return [{ id: nextId(), title: stringOf(title), code: [codeableConcept(PREPARATION, one.decision)] }];
  });
}

function prepareActions({ interchange, nextId }: ActionContext): Action[] {
  const { preparation } = interchange.protocol;
  if (!preparation || preparation.items.length === 0) return [];
  const id = nextId();
  const items = preparation.items.map((item) => itemAction(interchange, item, nextId()));
  return [
    {
      id,
      title: "In place before the first step",
      requiredBehavior: "must",
      ...groupOf(items),
      selectionBehavior: "all",
    },
  ];
}

function itemAction({ notCoded }: Interchange, item: PrepareItem, id: string): Action {
  const repeat = item.kind === "monitoring" && item.every ? everyOf(item.every) : undefined;
  const drugs = item.kind === "at-hand" ? item.agents : [];
  return {
    id,
    title: stringOf(prepareText(item)),
    code: [
      codeableConcept(PREPARATION, item.kind),
      ...drugs.map((agent) => ({ ...drugCode(notCoded, agent), text: stringOf(agent.name) })),
    ],
    requiredBehavior: "must",
    ...(repeat && { timingTiming: { repeat } }),
  };
}

function throughoutActions(context: ActionContext): Action[] {
  const { interchange, nextId } = context;
  const { protocol, notCoded } = interchange;
  if (protocol.throughout.length === 0) return [];
  notCoded.inWords("throughout", "that it is in force from the first inflation to the end of recovery");
  const id = nextId();
  const handlers = protocol.throughout.map((handler) => handlerAction(context, handler));
  return [{ id, title: "At any time from the first inflation to the end of recovery", ...groupOf(handlers) }];
}

function emergencyActions(context: ActionContext): Action[] {
  const { emergencies } = context.interchange.protocol;
  return emergencies.map(({ name, title, steps }) => ({
    id: context.emergencies.get(name) ?? context.nextId(),
    title: stringOf(title ?? name),
    textEquivalent: stringOf(`emergency ${name}`),
    code: [codeableConcept(STEP, "emergency")],
    trigger: [{ type: "named-event", name: emergencyEvent(name) }],
    precheckBehavior: "no",
    ...groupOf(stepActions(context, steps)),
  }));
}
