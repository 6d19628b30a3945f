import { contraindicationsOf } from "@limbwright/shared/runtime";
import { announcement, button, make, sentence } from "./dom.js";
import { MEASURES, range, standingWords, symbol } from "./words.js";

/**
 * The second page: the invented patient. Nothing is filled in beforehand, and no answer is taken for granted: what is left
 * open, the runtime refuses. `begin` gives its reasons; `against` says why nobody may follow the file on a patient.
 */
export function patientForm(file, { against, begin, back }) {
  const { protocol } = file;
  const heading = make(
    "h1",
    { tabindex: "-1" },
    `The invented patient for: ${protocol.title ?? protocol.name}`,
  );
  const conditions = contraindicationsOf(file);
  const refusal = announcement();
  const form = make(
    "form",
    { novalidate: "" },
    make(
      "fieldset",
      {},
      make("legend", {}, "Measures"),
      ...Object.keys(MEASURES).map((one) => measureLine(protocol, one)),
    ),
    make(
      "fieldset",
      {},
      make("legend", {}, "Does the patient have any of these?"),
      ...conditions.map(questionLine),
    ),
    refusal,
    make(
      "p",
      { class: "acts" },
      make("button", { type: "submit" }, "Begin the rehearsal"),
      " ",
      button("Another protocol", back),
    ),
  );
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const given = new FormData(form);
    refusal.tell("The rehearsal does not begin:", begin(patientFrom(given), answersFrom(given, conditions)));
  });
  const about = `${protocol.name} ${protocol.version}, ${standingWords(file)}. Invent a patient; enter nobody's real measures.`;
  return { parts: [heading, make("p", {}, about), ...notForUse(against), form], focus: heading };
}

function notForUse(against) {
  if (against.length === 0) return [];
  return [
    make("p", {}, "It is rehearsed all the same, but nobody may follow it on a patient:"),
    make("ul", {}, ...against.map((words) => make("li", {}, ...sentence(words)))),
  ];
}

function measureLine({ patients }, measure) {
  const { words, unit } = MEASURES[measure];
  const bounds = patients.bounds[measure];
  const id = `measure-${measure}`;
  const hint = bounds ? `The protocol is for ${range(bounds)}.` : "The protocol does not bound it.";
  const attributes = { id, name: measure, type: "text", inputmode: "decimal", autocomplete: "off" };
  return make(
    "p",
    { class: "measure" },
    make("label", { for: id }, `${words} in ${symbol(unit)}`),
    make("input", { ...attributes, "aria-describedby": `${id}-hint` }),
    make("span", { id: `${id}-hint`, class: "aside" }, hint),
  );
}

function questionLine(condition, at) {
  const choice = (answer, words) =>
    make("label", {}, make("input", { type: "radio", name: `condition-${at}`, value: answer }), ` ${words}`);
  return make(
    "div",
    { class: "question", role: "radiogroup", "aria-labelledby": `condition-${at}` },
    make("span", { id: `condition-${at}` }, condition),
    make("span", { class: "answers" }, choice("no", "no"), " ", choice("yes", "yes")),
  );
}

function patientFrom(given) {
  return Object.fromEntries(
    Object.entries(MEASURES).flatMap(([measure, { unit }]) => {
      const value = given.get(measure).trim();
      return value === "" ? [] : [[measure, { value, unit }]];
    }),
  );
}

function answersFrom(given, conditions) {
  return Object.fromEntries(
    conditions.flatMap((condition, at) => {
      const answer = given.get(`condition-${at}`);
      return answer === null ? [] : [[condition, answer === "yes"]];
    }),
  );
}
