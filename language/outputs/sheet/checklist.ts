import { placeOf } from "@limbwright/shared/finding";
import { paperText, quantityText, volumeOnPaper } from "@limbwright/shared/quantity";
import { wordsOfStep } from "@limbwright/shared/runtime";
import { capital, listText } from "@limbwright/shared/text";
import {
  amountWords,
  type CuffChoice,
  type Duration,
  type Handler,
  holdsSteps,
  type Protocol,
  type Step,
} from "../../model/index.ts";
import { evaluate, variablesOf } from "../../population/index.ts";
import { drawingUpIn, drawnUp, syringeText } from "../../rules/facts/syringes.ts";
import { handlerWords, momentName, stepData } from "../../runs/index.ts";
import { lastingText } from "../automaton/words.ts";
import { drugText, emergencyTitle } from "../table/columns.ts";
import { massUnitOf } from "../table/mass-unit.ts";
import type { SheetBlank, SheetItem } from "./sheet.ts";

/** Steps as lines of a checklist, in order, what belongs to one inside it. */
export function itemsOf(steps: readonly Step[], protocol: Protocol): SheetItem[] {
  return steps.flatMap((step) =>
    step.kind === "do" ? itemsOf(step.steps, protocol) : [itemOf(step, protocol)],
  );
}

/** What is done when something happens. */
export function handlerItem(handler: Handler, protocol: Protocol): SheetItem {
  return {
    kind: "when",
    text: handlerText(handler, protocol),
    notes: [],
    blanks: [],
    items: itemsOf(handler.steps, protocol),
    place: placeOf(handler.origin),
  };
}

/** A cuff with what is written on it: "distal (white)". */
export function cuffText(name: string, { cuffs }: Protocol): string {
  const label = cuffs?.cuffs.find((cuff) => cuff.name === name)?.label;
  return label === undefined ? name : `${name} (${label})`;
}

function itemOf(step: Step, protocol: Protocol): SheetItem {
  const time = timeOf(step, protocol);
  const items = innerItems(step, protocol);
  return {
    kind: HOLDING.has(step.kind) ? "group" : "do",
    text: stepText(step, protocol),
    ...(time !== undefined && { time }),
    notes: [...step.notes, ...step.roles.map((role) => `by ${role}`)],
    blanks: blanksOf(step, protocol),
    items,
    place: placeOf(step.origin),
  };
}

/** Steps that are done by doing what is in them. */
const HOLDING: ReadonlySet<Step["kind"]> = new Set(["stage", "repeat", "ask"]);

/** What is filled in by hand: what a cuff was set to, how much was injected. */
function blanksOf(step: Step, { doses }: Protocol): readonly SheetBlank[] {
  if (step.kind === "inflate") return ["mmHg"];
  if (step.kind !== "inject") return [];
  const dose = doses.find(({ name }) => name === step.dose);
  return ["mL", dose ? massUnitOf(dose) : "mg"];
}

/** A step in words for the bedside: those of the language, with labels, drugs and titles in place of bare names. */
export function stepText(step: Step, protocol: Protocol): string {
  if (isToldOtherwise(step)) return otherwiseText(step, protocol);
  // Its time stands in a column of its own.
  const { shortest: _shortest, longest: _longest, ...told } = stepData(step);
  return capital(wordsOfStep(told));
}

/** What the bedside tells in other words than the language: with a label, a drug, a title, or what it is for. */
const OTHERWISE = {
  inflate: true,
  confirm: true,
  deflate: true,
  inject: true,
  "remove-cannula": true,
  give: true,
  "wait-for": true,
  watch: true,
  recovery: true,
  task: true,
  stage: true,
  repeat: true,
  ask: true,
  "go-to-emergency": true,
  exsanguinate: true,
  "end-stage": true,
  finish: true,
};

type ToldOtherwise = Extract<Step, { readonly kind: keyof typeof OTHERWISE }>;

function isToldOtherwise(step: Step): step is ToldOtherwise {
  return step.kind in OTHERWISE;
}

function otherwiseText(step: ToldOtherwise, protocol: Protocol): string {
  switch (step.kind) {
    case "inflate":
      return `Inflate ${cuffsText(step.cuffs, protocol)}`;
    case "confirm":
      return `Confirm ${cuffsText(step.cuffs, protocol)}: firm, gauge on target, holding`;
    case "deflate": {
      const words = `Deflate ${cuffsText(step.cuffs, protocol)}`;
      if (step.forEmergency) return `${words} to save limb or life, whatever the time`;
      return step.flatFor ? `${words} for ${quantityText(step.flatFor)}, then the same up again` : words;
    }
    case "inject":
      return `Inject ${doseText(step.dose, protocol)}${mixedText(step.dose, protocol)}`;
    case "remove-cannula":
      return step.press ? "Remove cannula and press on the puncture" : "Remove cannula";
    case "give":
      return `Give ${doseText(step.dose, protocol)}${step.as ? `, as ${step.as.replace("-", " ")}` : ""}`;
    case "wait-for":
      return waitText(step.timer, protocol);
    case "watch":
    case "recovery":
      return WATCHING[step.kind];
    case "task":
      return step.text === "" ? capital(step.topic ?? "") : step.text;
    case "stage":
      return capital(step.name);
    case "repeat":
      return `${step.times} times in all`;
    case "ask":
      return step.question;
    case "go-to-emergency":
      return `Go to: ${emergencyTitle(step.emergency, protocol)} (overleaf)`;
    case "exsanguinate":
      return `Exsanguinate by ${step.method.replace("-", " ")}`;
    case "end-stage":
      return "End this stage; go on below";
    case "finish":
      return "Finish here";
  }
}

const WATCHING = { watch: "Watch for signs of toxicity", recovery: "Recovery, watched" };

function cuffsText(choice: CuffChoice, protocol: Protocol): string {
  if (choice.kind === "cuff") return cuffText(choice.name, protocol);
  const names = (protocol.cuffs?.cuffs ?? []).map(({ name }) => cuffText(name, protocol));
  return names.length === 1 ? (names[0] ?? "") : `all: ${listText(names)}`;
}

function doseText(name: string, { doses }: Protocol): string {
  const dose = doses.find((one) => one.name === name);
  return dose?.agent ? `${name}: ${drugText(dose)}` : name;
}

/** ", with ketorolac 20 mg (0.66 mL)": what else is in the syringe, as it is drawn up. */
function mixedText(name: string, protocol: Protocol): string {
  const { doses } = protocol;
  const mixed = doses.find((one) => one.name === name)?.adjuvants ?? [];
  const each = mixed.flatMap(({ agent, amount, volume }) => {
    const same =
      volume && amount?.dimension.volume !== 1 && variablesOf(volume).length === 0
        ? evaluate(volume, {})
        : undefined;
    const drawing = same && drawnUp(same, agent?.syringe, drawingUpIn(protocol));
    const onPaper = volumeOnPaper(drawing, same, false);
    const syringe = agent?.syringe ? `; syringe: ${syringeText(agent.syringe)}` : "";
    const inVolume = onPaper && ` (${paperText(onPaper)} mL${syringe})`;
    return agent && amount ? `${agent.name} ${amountWords(amount.node)}${inVolume ?? ""}` : [];
  });
  return each.length === 0 ? "" : `, with ${listText(each)}`;
}

function waitText(name: string, { timers }: Protocol): string {
  const timer = timers.find((one) => one.name === name);
  if (!timer?.atLeast || !timer.from) return `Wait for ${name}`;
  return `Wait until ${quantityText(timer.atLeast)} from ${momentName(timer.from)}`;
}

/** "If tourniquet pain, once", "When hold reaches 45 min". */
export function handlerText(handler: Handler, protocol: Protocol): string {
  if (handler.kind === "reaches") return `When ${handlerWords(handler)}`;
  const declared = protocol.declaredEvents.find(({ name }) => name === handler.event)?.title;
  const event = declared ?? handler.event.replaceAll("-", " ");
  const of = handler.cuff === undefined ? "" : ` of ${cuffText(handler.cuff, protocol)}`;
  const from = handler.notBefore ? `, not before ${quantityText(handler.notBefore)}` : "";
  const often =
    handler.times === undefined ? "" : handler.times === 1 ? ", once" : `, up to ${handler.times} times`;
  return `If ${event}${of}${from}${often}`;
}

function timeOf(step: Step, protocol: Protocol): string | undefined {
  const duration = ownDuration(step, protocol);
  return duration && lastingText(duration.shortest.valueOf(), duration.longest?.valueOf());
}

export function ownDuration(step: Step, { doses }: Protocol): Duration | undefined {
  if (step.kind === "inject" || step.kind === "give")
    return doses.find(({ name }) => name === step.dose)?.over;
  if (step.kind === "remove-cannula" && step.press) return step.press;
  return "duration" in step ? step.duration : step.takes;
}

function innerItems(step: Step, protocol: Protocol): SheetItem[] {
  const answer = (text: string, steps: readonly Step[]): SheetItem => ({
    kind: "answer",
    text,
    notes: [],
    blanks: [],
    items: itemsOf(steps, protocol),
    place: placeOf(steps[0]?.origin ?? step.origin),
  });
  if (!holdsSteps(step)) return [];
  switch (step.kind) {
    case "stage":
      return [
        ...itemsOf(step.steps, protocol),
        ...step.handlers.map((handler) => handlerItem(handler, protocol)),
      ];
    case "repeat":
    case "do":
      return itemsOf(step.steps, protocol);
    case "ask":
      return [answer("Yes: go on", step.yes), answer("No", step.no)].map((one, at) =>
        at === 0 && one.items.length > 0 ? { ...one, text: "Yes" } : one,
      );
    case "confirm":
      return step.otherwise ? [answer("If not", step.otherwise)] : [];
  }
}
