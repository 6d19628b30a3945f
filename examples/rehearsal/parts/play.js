import { keyOfStep, wordsOfEvent, wordsOfStep } from "@limbwright/shared/runtime";
import { button, make, sentence } from "./dom.js";
import { Log } from "./log.js";
import { nowLines, timerLines } from "./standing.js";
import { clock, dose, MEASURES, quantity, said, standingWords } from "./words.js";

/** The third page: the running order. It keeps the case, its own clock, and the log; all else the runtime says. */
export class Play {
  #place;
  #case;
  #patient;
  #at = 0;
  #log = new Log();
  #answer = [];
  #ways;

  constructor(place, first, patient, ways) {
    this.#place = place;
    this.#case = first;
    this.#patient = patient;
    this.#ways = ways;
    this.#log.add(first.history);
    this.#show();
  }

  #offer(event) {
    const line = said(event, this.#case);
    const offered = this.#case.offer(event, this.#at);
    if (offered.kind === "accepted") {
      const { happenings, rules, late } = offered;
      this.#answer = [make("p", {}, `Taken at ${clock(this.#at)}: ${line}.`), ...brokenLines(rules, late)];
      this.#log.add(happenings, rules, late);
      this.#case = offered.case;
    } else {
      this.#answer = this.#refused(line, offered);
      this.#log.refuse(this.#at, line, offered.words);
    }
    this.#show(keyOf(event));
  }

  #refused(line, { words, rules, from, anyway }) {
    const goOn = () => {
      this.#log.add(anyway.history.slice(this.#case.history.length), rules);
      this.#case = anyway;
      this.#answer = [
        make("p", {}, `Done all the same at ${clock(this.#at)}: ${line}.`),
        ...brokenLines(rules),
      ];
      this.#show();
    };
    const wait = () => this.#moveTo(from);
    return [
      make("p", {}, make("strong", {}, "Refused. "), ...sentence(words)),
      make(
        "p",
        { class: "acts" },
        ...(from > this.#at ? [button(`Wait until ${clock(from)}`, wait), " "] : []),
        ...(anyway ? [button("It was done all the same", goOn)] : []),
      ),
    ];
  }

  #moveTo(at) {
    // Times are whole seconds: what falls on the moment itself happens too.
    const { case: next, happenings } = this.#case.advance(at + 1, { pace: "must" });
    this.#log.add(happenings);
    this.#case = next;
    this.#at = at;
    this.#answer = [make("p", {}, `The clock shows ${clock(at)}.`)];
    this.#show("clock");
  }

  #show(focus) {
    const due = this.#case.due(this.#at);
    const next = nextMoment(due);
    const log = make("section", { class: "log" }, make("h2", {}, "What was done"), this.#log.list());
    this.#place.replaceChildren(
      this.#cast(),
      make("div", { class: "answer", role: "status" }, ...this.#answer),
      make("section", {}, make("h2", {}, `Now, at ${clock(this.#at)}`), ...nowLines(due)),
      ...(due.isOver ? [this.#end()] : [this.#clock(next), ...this.#choices(due)]),
      make("section", {}, make("h2", {}, "Clocks"), ...timerLines(due)),
      log,
    );
    if (focus !== undefined) this.#focus(focus);
  }

  /** On what was pressed, where it is still there; else on the answer to it. */
  #focus(key) {
    const same = [...this.#place.querySelectorAll("[data-key]")].find(({ dataset }) => dataset.key === key);
    const answer = this.#place.querySelector(".answer");
    answer.tabIndex = -1;
    (same ?? answer).focus();
  }

  #cast() {
    const { file, pressure } = this.#case;
    const { protocol, digests } = file;
    const measures = Object.entries(this.#patient).map(
      ([measure, given]) => `${MEASURES[measure].words.toLowerCase()} ${quantity(given)}`,
    );
    const doses = protocol.doses.filter(({ emergency }) => emergency === undefined);
    return make(
      "section",
      { class: "cast" },
      make(
        "p",
        {},
        `${protocol.name} ${protocol.version}, ${standingWords(file)}; meaning ${digests.meaning.slice(0, 19)}…`,
      ),
      make("p", {}, `The invented patient: ${measures.join(", ")}.`),
      ...doses.map(({ name }) => make("p", {}, `${name}: ${dose(this.#case, name)}.`)),
      ...(pressure ? [make("p", {}, `Cuff pressure: ${quantity(pressure)}.`)] : []),
    );
  }

  #clock(next) {
    const by = (seconds, words) => button(words, () => this.#moveTo(this.#at + seconds));
    const toNext =
      next &&
      button(`To ${clock(next.at)}: ${next.words}`, () => this.#moveTo(next.at), { "data-key": "clock" });
    return make(
      "section",
      {},
      make("h2", {}, "The training clock"),
      make(
        "p",
        { class: "acts" },
        by(10, "10 s on"),
        " ",
        by(60, "1 min on"),
        " ",
        by(300, "5 min on"),
        ...(toNext ? [" ", toNext] : []),
      ),
    );
  }

  #choices(due) {
    const { next } = due;
    const isEvent = ({ event }) => event.kind === "event";
    const cuffs = this.#case.file.protocol.cuffs.cuffs.map(({ name }) => ({ kind: "leak", cuff: name }));
    const leaks = cuffs.map((event) => ({ event, from: due.at, forbiddenBy: [] }));
    return [
      make(
        "section",
        {},
        make("h2", {}, "What can come next"),
        this.#list(next.filter((one) => !isEvent(one))),
      ),
      make(
        "section",
        {},
        make("h2", {}, "What may happen to the patient"),
        this.#list([...next.filter(isEvent), ...leaks]),
      ),
      this.#anything(),
    ];
  }

  #list(entries) {
    const lines = entries.map(({ event, from, to, forbiddenBy }) => {
      const act = button(said(event, this.#case), () => this.#offer(event), { "data-key": keyOf(event) });
      return make(
        "li",
        {},
        act,
        " ",
        make("span", { class: "aside" }, when({ from, to, forbiddenBy, now: this.#at })),
      );
    });
    return lines.length === 0 ? make("p", {}, "Nothing.") : make("ul", { class: "choices" }, ...lines);
  }

  /** Any step of the protocol, also one that is not next: to see why it is refused. */
  #anything() {
    const { runs } = this.#case.file;
    const starts = runs.automaton.edges.filter(({ kind, due }) => kind === "start" && !due);
    const steps = new Map(starts.map(({ step }) => [keyOfStep(step), step]));
    const select = make(
      "select",
      { id: "any-step" },
      ...[...steps].map(([value, step]) => make("option", { value }, wordsOfStep(step))),
    );
    const act = () => this.#offer({ kind: "start", step: steps.get(select.value) });
    return make(
      "section",
      {},
      make("h2", {}, "Something else is done"),
      make(
        "p",
        { class: "acts" },
        make("label", { for: "any-step" }, "The team starts "),
        select,
        " ",
        button("Say so", act, { "data-key": "any" }),
      ),
    );
  }

  #end() {
    const { again, other } = this.#ways;
    return make(
      "section",
      {},
      make("p", {}, "The protocol is over."),
      make(
        "p",
        { class: "acts" },
        button("Rehearse it again", again),
        " ",
        button("Another protocol", other),
      ),
    );
  }
}

function keyOf(event) {
  return JSON.stringify(event);
}

function brokenLines(rules, late) {
  const lines = rules.map(
    ({ rule, about }) => `This breaks ${rule}${about === undefined ? "" : ` (${about})`}.`,
  );
  const all = late === undefined ? lines : [`It comes ${clock(late)} late.`, ...lines];
  return all.map((line) => make("p", {}, make("strong", {}, line)));
}

/** From when and until when something may be said, by the clock and not as a countdown. */
function when({ from, to, forbiddenBy, now }) {
  const rules = [...new Set(forbiddenBy.map(({ rule }) => rule))].join(", ");
  if (from === undefined) return `refused, however long one waits: ${rules}`;
  const start = from > now ? `from ${clock(from)}${rules === "" ? "" : `; until then ${rules}`}` : "";
  const end = to === undefined || to <= now ? "" : `by ${clock(to)}`;
  return [start, end].filter((part) => part !== "").join(", ");
}

/** The next time at which something becomes possible, happens by itself, or is overdue. */
function nextMoment({ at, next, coming, timers }) {
  const moments = [
    ...coming.map((one) => ({ at: one.at, words: one.says })),
    ...next.flatMap(({ event, from, to }) => {
      const words = wordsOfEvent(event);
      return [
        { at: from, words: `${words} is allowed` },
        { at: to, words: `the latest for ${words}` },
      ];
    }),
    ...timers.flatMap(({ name, kind, bounds }) =>
      bounds.map(({ reachedAt, seconds }) => ({
        at: reachedAt,
        words: `${name ?? kind} shows ${clock(seconds)}`,
      })),
    ),
  ];
  return moments
    .filter((one) => one.at > at)
    .sort((a, b) => a.at - b.at)
    .at(0);
}
