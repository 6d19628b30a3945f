import { compareOrigins, eachPlaceOnce, type NotJudged } from "@limbwright/shared/finding";
import {
  allHandlers,
  type Protocol,
  sectionTexts,
  type WrittenText,
  writtenTexts,
} from "../../model/index.ts";

/** Everything of a protocol that is only text, in the order of the text: it is printed, and no rule looks at it. */
export function notJudged(protocol: Protocol): NotJudged[] {
  const listed = [
    ...sectionTexts(protocol).map(({ word, value, origin }) => ({ origin, what: `${word} "${value}"` })),
    ...conditionTexts(protocol),
    ...atHandTexts(protocol),
    ...writtenTexts(protocol).map(({ kind, text, origin }) => ({ origin, what: `${WORDS[kind]} "${text}"` })),
    ...textsOfDeclaredEvents(protocol),
  ];
  return eachPlaceOnce(listed, ({ what }) => what).sort((a, b) => compareOrigins(a.origin, b.origin));
}

function conditionTexts(protocol: Protocol): NotJudged[] {
  return (protocol.patients?.conditions ?? []).flatMap(({ condition, text, decision, origin }) =>
    condition === undefined && text !== undefined ? [{ origin, what: `${decision} "${text}"` }] : [],
  );
}

/** What is at hand is listed, and no rule knows it by these words. */
function atHandTexts(protocol: Protocol): NotJudged[] {
  return (protocol.preparation?.items ?? []).flatMap((item) =>
    item.kind === "at-hand"
      ? item.texts.map((text) => ({ origin: item.origin, what: `at hand "${text}"` }))
      : [],
  );
}

/** The words that each stands behind. */
const WORDS: Readonly<Record<WrittenText["kind"], string>> = {
  task: "task",
  note: "note",
  question: "question",
  preparation: "preparation",
  condition: "repeat if",
};

/** An event of the hospital's own is explored like any other; what it means is text. */
function textsOfDeclaredEvents(protocol: Protocol): NotJudged[] {
  const handled = new Set(allHandlers(protocol).flatMap((one) => (one.kind === "event" ? [one.event] : [])));
  return protocol.declaredEvents
    .filter((event) => handled.has(event.name))
    .map((event) => ({ origin: event.origin, what: `event "${event.title ?? event.name}"` }));
}
