import { MEASURE_WORDS } from "@limbwright/shared/runtime";
import { plainMarkdown } from "@limbwright/shared/text";
import type { PrepareItem } from "../../model/index.ts";
import { rangeText, VARIABLES, type Variable } from "../../population/index.ts";
import { conditionText, isContraindicated, prepareText } from "../sheet/build-sheet.ts";
import {
  type ActionContext,
  applicabilityOf,
  emergencyEvent,
  groupOf,
  handlerAction,
  type MomentActions,
  stepActions,
} from "./actions.ts";
import { drugCode, type GivenDose } from "./activity-definitions.ts";
import { definitionOf, type Interchange, NotCodedList } from "./definitions.ts";
import {
  codeableConcept,
  everyOf,
  LOINC,
  MEASURE,
  PLAN_TYPE,
  PREPARATION,
  rangeOf,
  STEP,
  stringOf,
  USAGE_CONTEXT,
  unlessEmpty,
} from "./elements.ts";
import { goalsOf } from "./goals.ts";
import type { Action, Applicability, Coding, PlanDefinition } from "./resources.ts";

export function planDefinition(interchange: Interchange, doses: readonly GivenDose[]): PlanDefinition {
  const { protocol, file, notCoded } = interchange;
  const { name, title, owner, reviewBy, status } = protocol;
  const definition = definitionOf(interchange, { element: "plan", id: "plan", title: title ?? name });
  const approved = status.value.kind === "approved" ? status.value : undefined;
  if (status.value.kind === "in-review")
    notCoded.noteLeftOut("status", "that it is in review: FHIR knows draft, active and retired");
  if (approved && file.use === "draft") {
    notCoded.noteLeftOut(
      "status",
      `that its text was approved by ${approved.by} on ${approved.on}: this is a draft`,
    );
  }
  const isActive = approved !== undefined && file.use === "protocol";
  return {
    resourceType: "PlanDefinition",
    ...definition,
    type: codeableConcept(PLAN_TYPE, "clinical-protocol"),
    ...(owner && { contact: [{ name: stringOf(owner.value) }] }),
    ...unlessEmpty("useContext", useContexts(interchange)),
    ...(protocol.indications.length > 0 && {
      purpose: protocol.indications.map(({ value }) => plainMarkdown(stringOf(value))).join("\n\n"),
    }),
    ...(isActive && { approvalDate: approved.on, endorser: [{ name: stringOf(approved.by) }] }),
    ...(reviewBy && { effectivePeriod: { end: reviewBy.value } }),
    goal: goalsOf(interchange),
    action: planActions(interchange, doses),
  };
}

/** The measures of the patients it is for. An end that does not belong to a range, FHIR cannot say: it then has no range. */
function useContexts({ protocol, notCoded }: Interchange) {
  return VARIABLES.flatMap((variable) => {
    const range = protocol.patients.bounds[variable];
    const valueRange = range && rangeOf(range);
    if (range && !valueRange)
      notCoded.inWords("patients", `the range of ${variable}, whose ends do not all belong to it`);
    return valueRange ? [{ code: CONTEXTS[variable], valueRange }] : [];
  });
}

const CONTEXTS: Readonly<Record<Variable, Coding>> = {
  age: { system: USAGE_CONTEXT, code: "age", display: "Age Range" },
  weight: { system: LOINC, code: "29463-7", display: "Body weight" },
  systolic: { system: LOINC, code: "8480-6", display: "Systolic blood pressure" },
  circumference: { system: MEASURE, code: "circumference", display: "Circumference of the limb at the cuff" },
};

/**
 * What a protocol does: the procedure with all its steps, what may interrupt it, and the emergencies. Made twice: the first
 * time tells which action begins which clock, which may stand after the actions that count from it.
 */
function planActions(interchange: Interchange, doses: readonly GivenDose[]): Action[] {
  const first = buildActions({ ...interchange, notCoded: new NotCodedList() }, doses, new Map());
  return buildActions(interchange, doses, first.moments).actions;
}

function buildActions(interchange: Interchange, doses: readonly GivenDose[], moments: MomentActions) {
  const { protocol } = interchange;
  const emergencies = new Map(protocol.emergencies.map(({ name }, at) => [name, `emergency-${at + 1}`]));
  const notes = new Map<string, readonly string[]>();
  let count = 0;
  const nextId = () => `action-${++count}`;
  const context: ActionContext = { interchange, doses, emergencies, moments, notes, nextId };
  const actions = [procedureAction(context), ...throughoutActions(context), ...emergencyActions(context)];
  return { actions, moments: notes };
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
    return range
      ? [`The patient's ${MEASURE_WORDS[variable]} is ${rangeText(range.interval, range.unit)}`]
      : [];
  });
  const hindrances = conditions
    .filter(isContraindicated)
    .map((one) => `The patient does not have this contraindication: ${conditionText(one)}`);
  const all = [...measures, ...hindrances];
  for (const words of all) notCoded.inWords("patients", `a condition that a person has to judge: ${words}`);
  return all.map((words) => applicabilityOf("applicability", words));
}

/** Cautions, and what was decided to be no hindrance. */
function careActions({ interchange, nextId }: ActionContext): Action[] {
  const { patients } = interchange.protocol;
  return patients.conditions.flatMap((one): Action[] => {
    if (isContraindicated(one)) return [];
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
