import type * as ast from "../grammar/generated/ast.ts";
import {
  type CuffChoice,
  type Handler,
  innerSteps,
  KNOWN_EVENTS,
  type Step,
  type StepDetails,
  TASK_TOPICS,
  type TaskTopic,
  TISSUE_PLACES,
} from "../model/index.ts";
import { canonicalName } from "../model/spelling.ts";
import { hasUnread, type Lowering } from "./context.ts";
import { checkName, type Names, nameOf } from "./names.ts";
import { countOf, durationOf, timeOf } from "./quantities.ts";

/** What the lowering of steps needs to know about where they stand. */
export interface StepSetting {
  readonly lowering: Lowering;
  readonly names: Names;
  readonly declaredEvents: readonly string[];
  /** Whether the steps belong to a stage, whose end they may name. */
  readonly inStage: boolean;
  /** The routines being followed, outermost first: one that stands here again would never end. */
  readonly routines: readonly ast.Routine[];
}

type StepNode = ast.Step | ast.Unknown;

/** Lowers steps in order; a handler among them is out of place and reported. */
export function stepsOf(setting: StepSetting, nodes: readonly StepNode[]): Step[] {
  return nodes.flatMap((node) => {
    const step = node.$type === "Unknown" ? undefined : stepOrProblem(setting, node);
    if (!step) setting.lowering.gaps.count += 1;
    return step ? [step] : [];
  });
}

/** Lowers the handlers of a stage or of `throughout`; `stepsAllowed` tells whether steps may stand there too. */
export function handlersOf(
  setting: StepSetting,
  nodes: readonly StepNode[],
  stepsAllowed: boolean,
): Handler[] {
  return nodes.flatMap((node) => {
    if (node.$type === "WhenEvent" || node.$type === "WhenReaches") {
      const handler = handlerOf(setting, node);
      if (!handler) setting.lowering.gaps.count += 1;
      return handler ? [handler] : [];
    }
    if (node.$type !== "Unknown" && !stepsAllowed) {
      setting.lowering.report({
        rule: "statement-out-of-place",
        origin: setting.lowering.originOfHeading(node),
        what: "`throughout` holds only what is done when something happens; a step cannot stand there.",
        label: "a step outside `steps`",
        next: "Move it into `steps`, or into a `when … { }` here.",
      });
    }
    return [];
  });
}

function stepOrProblem(setting: StepSetting, node: ast.Step): Step | undefined {
  if (node.$type !== "WhenEvent" && node.$type !== "WhenReaches") return stepOf(setting, node);
  reportHandlerOutOfPlace(setting.lowering, node);
  handlerOf(setting, node);
  return undefined;
}

type PlainStepNode = Exclude<ast.Step, ast.WhenEvent | ast.WhenReaches>;

function stepOf(setting: StepSetting, node: PlainStepNode): Step | undefined {
  const { lowering, names } = setting;
  const details = detailsOf(lowering, node);
  switch (node.$type) {
    case "ApplyCuffs":
      return { ...details, kind: "apply-cuffs" };
    case "InsertCannula":
      return { ...details, kind: "insert-cannula" };
    case "RemoveCannula": {
      const press = durationOf(lowering, node.press, "`press`");
      return { ...details, kind: "remove-cannula", ...(press && { press }) };
    }
    case "Exsanguinate": {
      if (!node.method) return undefined;
      const duration = durationOf(lowering, node.duration, `\`${node.method}\``);
      return { ...details, kind: "exsanguinate", method: node.method, ...(duration && { duration }) };
    }
    case "RemoveBandage":
      return { ...details, kind: "remove-bandage" };
    case "Inflate":
    case "Deflate":
    case "Confirm":
      return cuffStepOf(setting, node, details);
    case "ConfirmNoPulse":
      return { ...details, kind: "confirm-no-pulse" };
    case "Inject": {
      const dose = lowering.resolve(node, "dose", "dose", () => names.doses);
      return dose && { ...details, kind: "inject", dose: dose.name };
    }
    case "Give":
      return giveOf(setting, node, details);
    case "Wait":
      return waitOf(setting, node, details);
    case "Watch":
    case "Recovery": {
      const kind = node.$type === "Watch" ? "watch" : "recovery";
      const duration = durationOf(lowering, node.duration, `\`${kind}\``);
      return duration && { ...details, kind, duration };
    }
    case "Task": {
      const topic = topicOf(lowering, node);
      return { ...details, kind: "task", ...(topic && { topic }), text: node.text ?? "" };
    }
    case "Stage":
      return stageOf(setting, node, details);
    case "EndStage":
      return endStageOf(setting, node, details);
    case "GoToEmergency": {
      const candidates = () => names.emergencies;
      const emergency = lowering.resolve(node, "emergency", "emergency", candidates);
      return emergency && { ...details, kind: "go-to-emergency", emergency: emergency.name };
    }
    case "Finish":
      return { ...details, kind: "finish" };
    case "Ask":
      return askOf(setting, node, details);
    case "Repeat":
      return repeatOf(setting, node, details);
    case "Do":
      return doOf(setting, node, details);
  }
}

function cuffStepOf(
  setting: StepSetting,
  node: ast.Inflate | ast.Deflate | ast.Confirm,
  details: StepDetails,
): Step | undefined {
  const cuffs = cuffChoiceOf(setting, node);
  switch (node.$type) {
    case "Inflate":
      return cuffs && { ...details, kind: "inflate", cuffs };
    case "Deflate": {
      const flatFor = timeOf(setting.lowering, node.duration, "`for`");
      const forEmergency = node.forEmergency && ({ forEmergency: true } as const);
      return cuffs && { ...details, kind: "deflate", cuffs, ...(flatFor && { flatFor }), ...forEmergency };
    }
    case "Confirm": {
      const otherwise = node.otherwise && stepsOf(setting, node.otherwise.steps);
      return cuffs && { ...details, kind: "confirm", cuffs, ...(otherwise && { otherwise }) };
    }
  }
}

/** A place that is not known leaves the step out: it must not be taken for a dose into the circulation. */
function giveOf({ lowering, names }: StepSetting, node: ast.Give, details: StepDetails): Step | undefined {
  const dose = lowering.resolve(node, "dose", "dose", () => names.doses);
  const origin = lowering.originOfProperty(node, "place");
  const place = lowering.checkWord(origin, node.place, TISSUE_PLACES, "a place that a dose is given to");
  if (!dose || (node.place !== undefined && !place)) return undefined;
  return { ...details, kind: "give", dose: dose.name, ...(place && { as: place }) };
}

function repeatOf(setting: StepSetting, node: ast.Repeat, details: StepDetails): Step | undefined {
  const times = countOf(setting.lowering, node.times, 1, "`repeat`");
  const steps = stepsOf(setting, node.block?.steps ?? []);
  return times === undefined ? undefined : { ...details, kind: "repeat", times, steps };
}

function detailsOf(lowering: Lowering, node: PlainStepNode): StepDetails {
  const carrying = node as Partial<Pick<ast.Inflate, "notes" | "roles" | "takes">>;
  const takes = durationOf(lowering, carrying.takes?.[0], "`takes`");
  return {
    origin: lowering.originOfHeading(node),
    notes: carrying.notes ?? [],
    roles: carrying.roles ?? [],
    ...(takes && { takes }),
  };
}

type NamingCuffs = (ast.Inflate | ast.Deflate | ast.Confirm | ast.ActionCuff | ast.CuffState) & {
  readonly all: boolean;
};

/** The cuffs a step names. Outside a protocol there are none to name but all. */
export function cuffChoiceOf(
  setting: Pick<StepSetting, "lowering" | "names">,
  node: NamingCuffs,
): CuffChoice | undefined {
  if (node.all) return { kind: "all" };
  const cuff = setting.lowering.resolve(node, "cuff", "cuff", () => setting.names.cuffs);
  return cuff && { kind: "cuff", name: cuff.name };
}

function waitOf(setting: StepSetting, node: ast.Wait, details: StepDetails): Step | undefined {
  const { lowering, names } = setting;
  if (node.timer) {
    const timer = lowering.resolve(node, "timer", "timer", () => names.timers);
    return timer && { ...details, kind: "wait-for", timer: timer.name };
  }
  const duration = durationOf(lowering, node.duration, "`wait`");
  return duration && { ...details, kind: "wait", duration };
}

export function topicOf(
  lowering: Lowering,
  node: (ast.Task | ast.ActionTask) & { readonly topic?: string },
): TaskTopic | undefined {
  if (node.topic === undefined) return undefined;
  const origin = lowering.originOfProperty(node, "topic");
  return lowering.checkWord(
    origin,
    node.topic,
    TASK_TOPICS,
    "a topic of a task",
    `Write ${TASK_TOPICS.join(", ")}, or only the text in quotes.`,
  );
}

function stageOf(setting: StepSetting, node: ast.Stage, details: StepDetails): Step {
  checkName(setting.lowering, node);
  const inside = { ...setting, inStage: true };
  const handlers = node.steps.filter((step) => step.$type === "WhenEvent" || step.$type === "WhenReaches");
  return {
    ...details,
    kind: "stage",
    name: nameOf(node),
    steps: stepsOf(
      inside,
      node.steps.filter((step) => !handlers.some((handler) => handler === step)),
    ),
    handlers: handlersOf(inside, handlers, true),
  };
}

function endStageOf(setting: StepSetting, node: ast.EndStage, details: StepDetails): Step | undefined {
  const { lowering, names } = setting;
  if (!setting.inStage) {
    lowering.report({
      rule: "statement-out-of-place",
      origin: lowering.originOf(node),
      what: "`end stage` can only stand inside a stage.",
      label: "no stage to end here",
      next: "Move it into the stage it ends, or remove it.",
    });
    return undefined;
  }
  if (!node.stage) return { ...details, kind: "end-stage" };
  const stage = lowering.resolve(node, "stage", "stage", () => names.stages);
  return stage && { ...details, kind: "end-stage", stage: stage.name };
}

function askOf(setting: StepSetting, node: ast.Ask, details: StepDetails): Step {
  const answer = (word: "yes" | "no") => {
    const blocks = node[word];
    if (blocks.length > 1 || (blocks.length === 0 && !hasUnread(node.unknown))) {
      setting.lowering.report({
        rule: blocks.length === 0 ? "statement-missing" : "statement-twice",
        origin: setting.lowering.originOfKeyword(node, "ask"),
        what: `The question has ${blocks.length === 0 ? "no" : "more than one"} \`${word}\`.`,
        label: `\`${word}\`?`,
        next: `Write \`${word} { … }\` once; leave the block empty if nothing is done.`,
      });
    }
    return stepsOf(setting, blocks[0]?.steps ?? []);
  };
  return { ...details, kind: "ask", question: node.question ?? "", yes: answer("yes"), no: answer("no") };
}

function doOf(setting: StepSetting, node: ast.Do, details: StepDetails): Step | undefined {
  const { lowering, names, routines } = setting;
  const routine = lowering.resolve(node, "routine", "routine", () => names.routines);
  if (!routine) return undefined;
  if (routines.includes(routine)) {
    lowering.report({
      rule: "routine-in-a-circle",
      origin: lowering.originOf(node),
      what: `\`${routine.name}\` leads back to itself, so it would never end.`,
      label: "goes round in a circle",
      next: "Use `repeat N times`, or write the steps out.",
      related: [{ origin: lowering.originOfHeading(routine), note: "the routine" }],
    });
    return undefined;
  }
  // A routine's own problems are reported where it is declared, not at each `do`.
  const quiet = lowering.quiet();
  const steps = stepsOf({ ...setting, lowering: quiet, routines: [...routines, routine] }, routine.steps);
  const circle = quiet.problems.filter((problem) => problem.rule === "routine-in-a-circle");
  for (const problem of circle) lowering.report(problem);
  return { ...details, kind: "do", routine: routine.name, steps };
}

function handlerOf(setting: StepSetting, node: ast.WhenEvent | ast.WhenReaches): Handler | undefined {
  const { lowering, names } = setting;
  const origin = lowering.originOfHeading(node);
  const steps = stepsOf(setting, node.block?.steps ?? []);
  if (node.$type === "WhenReaches") {
    const timer = lowering.resolve(node, "timer", "timer", () => names.timers);
    const limit = timeOf(lowering, node.limit, "`reaches`");
    return timer && limit && { kind: "reaches", timer: timer.name, limit, origin, steps };
  }
  const declare = 'Declare it at the level of the file: `event NAME "What it means"`.';
  const event = eventOf(setting, node, declare);
  const cuff = lowering.resolve(node, "cuff", "cuff", () => names.cuffs);
  const notBefore = timeOf(lowering, node.notBefore, "`not before`");
  const times = node.once ? 1 : countOf(lowering, node.times, 1, "`up to`");
  if (!node.once && !node.times && givesADose(steps)) reportEndlessDoses(lowering, node);
  if (event === undefined || (node.cuff && !cuff)) return undefined;
  return {
    kind: "event",
    event,
    ...(cuff && { cuff: cuff.name }),
    ...(notBefore && { notBefore }),
    ...(times !== undefined && { times }),
    origin,
    steps,
  };
}

/** The event that a handler or a scenario names, known or declared; `otherwise` says what to do about another. */
export function eventOf(
  { lowering, declaredEvents }: Pick<StepSetting, "lowering" | "declaredEvents">,
  node: ast.WhenEvent | ast.EventHappens,
  otherwise: string,
): string | undefined {
  return lowering.checkWord(
    lowering.originOfProperty(node, "event"),
    canonicalName(node.event ?? ""),
    [...KNOWN_EVENTS, ...declaredEvents],
    "an event",
    otherwise,
  );
}

/** Whether some step gives a dose; what may interrupt a stage counts for itself. */
function givesADose(steps: readonly Step[]): boolean {
  return steps.some((step) => {
    if ("dose" in step) return true;
    return step.kind === "stage" ? givesADose(step.steps) : innerSteps(step).some(givesADose);
  });
}

function reportEndlessDoses(lowering: Lowering, node: ast.WhenEvent): void {
  lowering.report({
    rule: "statement-missing",
    origin: lowering.originOfHeading(node),
    what: "This gives a dose every time it happens, however often that is.",
    label: "how often?",
    next: "Write `once`, or `up to N times`, after the event.",
  });
}

function reportHandlerOutOfPlace(lowering: Lowering, node: ast.WhenEvent | ast.WhenReaches): void {
  lowering.report({
    rule: "statement-out-of-place",
    origin: lowering.originOfHeading(node),
    what: "`when` can only stand directly in a stage or in `throughout`.",
    label: "not in a stage",
    next: "Put the steps it may interrupt into `stage NAME { … }` together with it, or move it to `throughout`.",
  });
}
