import { keyOfStep } from "@limbwright/shared/runtime";
import { make, sentence } from "./dom.js";
import { clock } from "./words.js";

/** What a reader is told of each kind of happening; what only leads from one place to the next is not told. */
const LINES = {
  start: (says) => says,
  event: (says) => `It happens: ${says.replaceAll("-", " ")}`,
  reaches: (says) => `By itself: ${says}`,
  answer: (says) => says,
  leak: (says) => says,
  finish: () => "The protocol is over",
};

/** The lines of the play so far, each with its time in the margin. */
export class Log {
  #lines = [];

  /** What happened, and what was broken by it as a whole. */
  add(happenings, rules = [], late = undefined) {
    for (const happening of happenings) this.#tell(happening);
    const last = this.#lines.at(-1);
    if (last && happenings.length > 0) {
      last.rules = [...last.rules, ...rules];
      last.late = late;
    }
  }

  /** That a step ends is told in its own line, where it took any time. */
  #tell({ at, kind, says, step, breaks }) {
    const key = step && keyOfStep(step);
    const begun = kind === "end" ? this.#lines.findLast((line) => line.key === key) : undefined;
    if (begun) begun.until = at;
    const line = LINES[kind]?.(says);
    if (line !== undefined)
      this.#lines.push({ at, key: kind === "start" ? key : undefined, parts: [line], rules: [...breaks] });
    else this.#lines.at(-1)?.rules.push(...breaks);
  }

  refuse(at, line, words) {
    this.#lines.push({ at, parts: [`Not done: ${line}. `, ...sentence(words)], rules: [], isRefusal: true });
  }

  list() {
    const lines = this.#lines.map(({ at, parts, rules, late, until, isRefusal }) => {
      const broken = [...new Set(rules.map(({ rule }) => rule))];
      const end = until === undefined || until === at ? [] : [`, until ${clock(until)}`];
      const notes = [
        ...(late === undefined ? [] : [`${clock(late)} late`]),
        ...(broken.length === 0 ? [] : [`against ${broken.join(", ")}`]),
      ];
      const time = make("span", { class: "time" }, clock(at));
      const note = notes.length === 0 ? [] : [" ", make("strong", {}, `(${notes.join("; ")})`)];
      const copies = parts.map((part) => (typeof part === "string" ? part : part.cloneNode(true)));
      return make(
        "li",
        isRefusal ? { class: "refused" } : {},
        time,
        " ",
        make("span", {}, ...copies, ...end, ...note),
      );
    });
    return lines.length === 0 ? make("p", {}, "Nothing yet.") : make("ol", { class: "lines" }, ...lines);
  }
}
