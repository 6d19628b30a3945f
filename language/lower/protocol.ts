import type { Repair } from "@limbwright/shared/finding";
import type { AstNode } from "langium";
import type * as ast from "../grammar/generated/ast.ts";
import { isStep } from "../grammar/generated/ast.ts";
import { nodesOfType } from "../grammar/nodes.ts";
import {
  type Agent,
  allSteps,
  type DeclaredEvent,
  type Emergency,
  type Protocol,
  type Status,
  type Written,
} from "../model/index.ts";
import { insertBefore } from "../model/text-changes.ts";
import { correction, type Lowering } from "./context.ts";
import { cuffsOf } from "./cuffs.ts";
import { dateOf } from "./dates.ts";
import { doseOf, dosesOfSteps } from "./doses.ts";
import { localRulesOf } from "./local-rules.ts";
import { checkName, checkNamesDiffer, declarationsIn, nameOf, namesOf, onlyOnce } from "./names.ts";
import { patientsOf } from "./patients.ts";
import { preparationOf } from "./preparation.ts";
import { withoutWrittenOut, writeOutRepeats } from "./repeated-injections.ts";
import { requirementOf } from "./requirements.ts";
import { handlersOf, type StepSetting, stepsOf } from "./steps.ts";
import { timerOf } from "./timers.ts";

/** What a protocol can see beyond its own text. */
export interface Surroundings {
  readonly agents: readonly Agent[];
  readonly declaredEvents: readonly DeclaredEvent[];
  readonly routines: readonly string[];
  readonly localRules: readonly string[];
  /** Sections that stand outside any protocol after this one, probably cut off by a stray brace. */
  readonly strays: readonly ast.Section[];
  readonly incomplete: boolean;
}

const REPEATABLE = new Set(["Indication", "Dose", "Timer", "Emergency", "Routine", "Requirement", "Unknown"]);

type Section = ast.Protocol["sections"][number];

/** Lowers a protocol with all that its text says; what is wrong is reported, what is missing left out. */
export function protocolOf(lowering: Lowering, node: ast.Protocol, around: Surroundings): Protocol {
  checkName(lowering, node);
  const sections: Section[] = [...node.sections, ...around.strays];
  onlyOnce(
    lowering,
    sections.filter((section) => !isStep(section)),
    REPEATABLE,
  );
  const declarations = declarationsIn(node);
  const { cuffs, doses, timers, stages, emergencies, routines } = declarations;
  checkNamesDiffer(lowering, [...cuffs, ...doses, ...timers, ...stages, ...emergencies, ...routines]);
  const names = namesOf(declarations, around.routines);
  const declaredEvents = around.declaredEvents.map((event) => event.name);
  const setting: StepSetting = { lowering, names, declaredEvents, inStage: false, routines: [] };
  const of: SectionsOf = (type) => nodesOfType(sections, type);
  reportStraySteps(setting, sections);
  for (const routine of of("Routine")) checkRoutine(setting, routine);
  const patients = of("Patients")[0];
  const cuffSet = of("Cuffs")[0];
  const prepare = of("Prepare")[0];
  const steps = of("Steps")[0];
  const localRules = localRulesUsed(lowering, of("LocalRulesUse")[0], around.localRules);
  const ownDoses = of("Dose").map((dose) => doseOf(lowering, dose, around.agents, undefined));
  const emergencyDoses = of("Emergency").flatMap((emergency) =>
    nodesOfType(emergency.members, "Dose").map((dose) =>
      doseOf(lowering, dose, around.agents, emergency.name),
    ),
  );
  const run = lowering.withGaps(() => ({
    timers: of("Timer").map((timer) => timerOf(lowering, timer, names)),
    ...(steps && { steps: stepsOf(setting, steps.steps) }),
    throughout: of("Throughout").flatMap((section) => handlersOf(setting, section.handlers, false)),
    emergencies: of("Emergency").map((emergency) => emergencyOf(setting, emergency)),
  }));
  const throughout = of("Throughout");
  const emptyThroughout = throughout.every(({ handlers }) => handlers.length === 0)
    ? throughout[0]
    : undefined;
  const allDoses = [...ownDoses, ...emergencyDoses];
  const givenBySteps = dosesOfSteps(lowering, allDoses, [...allSteps(run.value)]);
  return {
    name: nameOf(node),
    ...(node.title !== undefined && { title: node.title }),
    origin: lowering.originOfHeading(node),
    nameOrigin: lowering.originOfProperty(node, "name"),
    ...identityOf(lowering, of),
    ...(localRules && { localRules }),
    indications: of("Indication").map((section) => textOf(lowering, section)),
    ...(patients && { patients: patientsOf(lowering, patients) }),
    ...(cuffSet && { cuffs: cuffsOf(lowering, cuffSet) }),
    doses: withoutWrittenOut(allDoses, givenBySteps),
    ...(prepare && { preparation: preparationOf(lowering, prepare, around.agents) }),
    ...(emptyThroughout && { emptyThroughout: lowering.originOf(emptyThroughout) }),
    ...writeOutRepeats(run.value, allDoses, givenBySteps),
    requirements: of("Requirement")
      .map((requirement) => requirementOf({ lowering, names }, requirement))
      .filter((requirement) => requirement !== undefined),
    agents: around.agents,
    declaredEvents: around.declaredEvents,
    incomplete: around.incomplete || run.gaps,
  };
}

type SectionsOf = <T extends Section["$type"]>(type: T) => Extract<Section, { $type: T }>[];

function identityOf(
  lowering: Lowering,
  of: SectionsOf,
): Pick<Protocol, "version" | "hospital" | "owner" | "status" | "reviewBy"> {
  const [version] = of("Version");
  const [hospital] = of("Hospital");
  const [owner] = of("Owner");
  const [statusNode] = of("Status");
  const [review] = of("Review");
  const versionValue = version && versionOf(lowering, version);
  const status = statusNode && statusOf(lowering, statusNode);
  const reviewBy = review?.date === undefined ? undefined : dateOf(lowering, review, "date", review.date);
  return {
    ...(versionValue && { version: versionValue }),
    ...(hospital && { hospital: textOf(lowering, hospital) }),
    ...(owner && { owner: textOf(lowering, owner) }),
    ...(status && { status }),
    ...(review &&
      reviewBy !== undefined && { reviewBy: { value: reviewBy, origin: lowering.originOf(review) } }),
  };
}

function textOf(lowering: Lowering, node: AstNode & { readonly text: string }): Written<string> {
  return { value: node.text ?? "", origin: lowering.originOf(node) };
}

function versionOf(lowering: Lowering, node: ast.Version): Written<string> | undefined {
  if (node.version === undefined) return undefined;
  const origin = lowering.originOfProperty(node, "version");
  if (/^\d+\.\d+\.\d+$/.test(node.version)) return { value: node.version, origin };
  const parts = node.version.split(".");
  const text = parts.length < 3 ? [...parts, "0", "0"].slice(0, 3).join(".") : parts.slice(0, 3).join(".");
  lowering.report({
    rule: "version-not-complete",
    origin,
    what: "A version has three numbers: looser or other drug or order, tighter or different, wording.",
    label: "not three numbers",
    ...correction(origin, text, "safe"),
  });
  return { value: text, origin };
}

function statusOf(lowering: Lowering, node: ast.Status): Written<Status> | undefined {
  const origin = lowering.originOf(node);
  if (node.draft) return { value: { kind: "draft" }, origin };
  if (node.inReview) return { value: { kind: "in-review" }, origin };
  if (node.retired) return { value: { kind: "retired" }, origin };
  if (!node.approved || node.role === undefined || node.date === undefined) return undefined;
  const on = dateOf(lowering, node, "date", node.date);
  return on === undefined ? undefined : { value: { kind: "approved", by: node.role, on }, origin };
}

function localRulesUsed(lowering: Lowering, node: ast.LocalRulesUse | undefined, known: readonly string[]) {
  const rules = node && lowering.resolve(node, "rules", "set of local rules", () => known);
  return rules && localRulesOf(lowering, rules);
}

function emergencyOf(setting: StepSetting, node: ast.Emergency): Emergency {
  const { lowering } = setting;
  const steps = node.members.filter((member) => member.$type !== "Dose");
  return {
    name: nameOf(node),
    ...(node.title !== undefined && { title: node.title }),
    origin: lowering.originOfHeading(node),
    nameOrigin: lowering.originOfProperty(node, "name"),
    steps: stepsOf(setting, steps),
  };
}

/** Lowers a routine where it is declared, so that its problems are reported there, once. */
export function checkRoutine(setting: StepSetting, node: ast.Routine): void {
  checkName(setting.lowering, node);
  stepsOf({ ...setting, inStage: true, routines: [node] }, node.steps);
}

function reportStraySteps(setting: StepSetting, sections: readonly Section[]): void {
  const stray = sections.filter(isStep);
  const [first] = stray;
  if (!first) return;
  stepsOf(
    setting,
    stray.filter((step) => step.$type !== "WhenEvent" && step.$type !== "WhenReaches"),
  );
  setting.lowering.report({
    rule: "statement-out-of-place",
    origin: setting.lowering.originOfHeading(first),
    what: "This step stands outside `steps`.",
    label: "not in a block of steps",
    next: "Move it into `steps { … }`. A closing brace } too many before it may have ended the block early.",
  });
}

/** What a protocol cannot do without, by the type of its section. */
const NEEDED_SECTIONS: readonly (readonly [Section["$type"], string, string, string?])[] = [
  ["Version", "has no version", "Add `version 0.1.0`.", "version 0.1.0"],
  ["Status", "has no status", "Add `status draft`.", "status draft"],
  ["Patients", "does not say whom it covers", "Add `patients { … }` with age, weight and systolic."],
  ["Cuffs", "has no cuffs", "Add `cuffs … on … { … }` with pressure and ceiling."],
  ["Steps", "has no steps", "Add `steps { … }`."],
  ["Dose", "gives nothing for the block", "Add `dose NAME of AGENT { … }`."],
];

const NEEDED_RANGES = ["age", "weight", "systolic"] as const;

/** Reports what every protocol needs before it can be judged as a whole. */
export function reportMissingSections(lowering: Lowering, node: ast.Protocol): void {
  const missing = (at: AstNode, keyword: string, what: string, next: string, line?: string) =>
    lowering.report({
      rule: "statement-missing",
      origin: lowering.originOfKeyword(at, keyword),
      what,
      label: "missing",
      next,
      ...(line !== undefined && { repairs: writeBeforeSections(lowering, node, line) }),
    });
  for (const [type, what, next, line] of NEEDED_SECTIONS) {
    if (node.sections.some((section) => section.$type === type)) continue;
    missing(node, "protocol", `The protocol \`${node.name}\` ${what}.`, next, line);
  }
  const patients = node.sections.find((section) => section.$type === "Patients");
  if (!patients) return;
  for (const variable of NEEDED_RANGES) {
    const isThere = patients.entries.some(
      (entry) => entry.$type === "PatientBound" && entry.variable === variable,
    );
    if (isThere) continue;
    const what = `The patients have no range of ${variable}; doses and pressures are judged for every patient in it.`;
    missing(patients, "patients", what, `Add \`${variable} LOWEST to HIGHEST ${UNIT_OF[variable]}\`.`);
  }
}

/** The repair that writes a line before all other sections; none where there is no section to stand before. */
function writeBeforeSections(lowering: Lowering, node: ast.Protocol, line: string): Repair[] {
  const [first] = node.sections;
  return first ? insertBefore(lowering.originOf(first), line) : [];
}

const UNIT_OF = { age: "years", weight: "kg", systolic: "mmHg" } as const;
