import { compareOrigins, eachPlaceOnce, type NotJudged } from "@limbwright/shared/finding";
import {
  allHandlers,
  allSteps,
  type Dose,
  type Protocol,
  type Step,
  sectionTexts,
} from "../../model/index.ts";

/** Everything of a protocol that is only text, in the order of the text: it is printed, and no rule looks at it. */
export function notJudged(protocol: Protocol): NotJudged[] {
  const listed = [
    ...sectionTexts(protocol).map(({ word, value, origin }) => ({ origin, what: `${word} "${value}"` })),
    ...conditionTexts(protocol),
    ...preparationTexts(protocol),
    ...protocol.doses.flatMap(doseTexts),
    ...[...allSteps(protocol)].flatMap(stepTexts),
    ...textsOfDeclaredEvents(protocol),
  ];
  return eachPlaceOnce(listed, ({ what }) => what).sort((a, b) => compareOrigins(a.origin, b.origin));
}

function conditionTexts(protocol: Protocol): NotJudged[] {
  return (protocol.patients?.conditions ?? []).flatMap(({ condition, text, decision, origin }) =>
    condition === undefined && text !== undefined ? [{ origin, what: `${decision} "${text}"` }] : [],
  );
}

function preparationTexts(protocol: Protocol): NotJudged[] {
  return (protocol.preparation?.items ?? []).flatMap((item) => {
    if (item.kind === "text") return [{ origin: item.origin, what: `preparation "${item.text}"` }];
    if (item.kind === "at-hand")
      return item.texts.map((text) => ({ origin: item.origin, what: `at hand "${text}"` }));
    return [];
  });
}

function doseTexts(dose: Dose): NotJudged[] {
  const condition = dose.repeat?.condition;
  return condition ? [{ origin: condition.origin, what: `repeat if "${condition.value}"` }] : [];
}

function stepTexts(step: Step): NotJudged[] {
  const notes = step.notes.map((note) => ({ origin: step.origin, what: `note "${note}"` }));
  if (step.kind === "task") return [{ origin: step.origin, what: `task "${step.text}"` }, ...notes];
  if (step.kind === "ask") return [{ origin: step.origin, what: `question "${step.question}"` }, ...notes];
  return notes;
}

/** An event of the hospital's own is explored like any other; what it means is text. */
function textsOfDeclaredEvents(protocol: Protocol): NotJudged[] {
  const handled = new Set(allHandlers(protocol).flatMap((one) => (one.kind === "event" ? [one.event] : [])));
  return protocol.declaredEvents
    .filter((event) => handled.has(event.name))
    .map((event) => ({ origin: event.origin, what: `event "${event.title ?? event.name}"` }));
}
