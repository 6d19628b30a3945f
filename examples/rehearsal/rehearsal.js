// A page on which a team in training rehearses a protocol on an invented patient. It runs a rule file by the runtime alone:
// what is allowed, refused, due or overdue is what `@limbwright/shared/runtime` says, in its words.

import { readRuleFile } from "@limbwright/shared/rule-file";
import { againstFile, contraindicationsOf, start } from "@limbwright/shared/runtime";
import { choiceOfProtocol } from "./parts/choice.js";
import { make, show } from "./parts/dom.js";
import { patientForm } from "./parts/patient-form.js";
import { Play } from "./parts/play.js";

// For the console and for tests: the runtime that this page runs.
globalThis.limbwright = { readRuleFile, againstFile, contraindicationsOf, start };

const page = document.getElementById("page");
const embedded = JSON.parse(document.getElementById("rule-files").textContent);

choose(false);

/** The first thing that is read is the mark above the page; only who comes back is taken to the heading. */
function choose(comesBack = true) {
  const { parts, focus } = choiceOfProtocol(embedded.map(read), (text) => {
    const reading = read(text);
    if (reading.kind === "refused") return reading.faults.map(({ what }) => what);
    prepare(reading.file);
    return [];
  });
  show(page, parts, comesBack ? focus : undefined);
}

/** A file from elsewhere can hold anything: it is read by the reader of rule files, or refused with its reason. */
function read(text) {
  return { ...readRuleFile(text), text };
}

/** What stands against following the file is shown before it is rehearsed all the same: nobody is treated here. */
function prepare(file) {
  const on = today();
  const against = againstFile(file, { on });
  const { parts, focus } = patientForm(file, {
    against: against.map(({ words }) => words),
    begin(patient, answers) {
      const started = start(file, patient, answers, { on, despite: against.map(({ name }) => name) });
      if (started.kind === "refused") return started.reasons.map(({ words }) => words);
      play(started.case, patient);
      return [];
    },
    back: () => choose(),
  });
  show(page, parts, focus);
}

/** The runtime keeps no clock: the page says which day it is. */
function today() {
  const now = new Date();
  const two = (number) => String(number).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

function play(first, patient) {
  const place = make("div");
  const heading = make("h1", { tabindex: "-1" }, first.file.protocol.title ?? first.file.protocol.name);
  show(page, [heading, place], heading);
  new Play(place, first, patient, { again: () => prepare(first.file), other: () => choose() });
}
