import type { PreviewModel, PreviewRun } from "@limbwright/shared/editor";
import type { LinePlace } from "@limbwright/shared/finding";
import { make, Section, sentence } from "./dom.ts";
import { placeButton } from "./findings.ts";
import { pictureShown } from "./pictures.ts";

/** The run picture, and which run it is of: one that breaks a rule, the earliest or the latest release. */
export class RunSection {
  readonly section = new Section("run", "Run");
  readonly #open: (place: LinePlace) => void;
  readonly #picture = make("div", { class: "picture-place" });
  #runs: readonly PreviewRun[] = [];
  #chosen: string | undefined;
  #file = "";
  #drawn = "";

  constructor(open: (place: LinePlace) => void) {
    this.#open = open;
  }

  /** The last runs stay, marked as old, where there are none for the text as it stands. */
  show({ runs: { shown, because }, state, file }: PreviewModel): void {
    this.#file = file;
    this.section.say(because);
    const isWaiting = state === "stale" || shown === undefined;
    if (!shown || (isWaiting && this.#runs.length > 0 && shown.length === 0)) {
      this.section.isOld = this.#runs.length > 0;
      return;
    }
    const kept = isWaiting ? this.#runs.filter(({ kind }) => kind !== "breaks-a-rule") : [];
    this.#runs = [...shown, ...kept.map((run) => ({ ...run, isStale: true }))];
    this.section.isOld = this.#runs.some(({ isStale }) => isStale);
    this.#lay();
  }

  forget(): void {
    this.#runs = [];
    this.section.isOld = false;
    this.section.body.replaceChildren();
    this.#drawn = "";
  }

  /** Shows the run of a finding. */
  choose(id: string): void {
    this.#chosen = id;
    this.#lay();
    this.section.element.scrollIntoView({ block: "start" });
    document.getElementById("run-heading")?.focus({ preventScroll: true });
  }

  #lay(): void {
    const run = this.#runs.find(({ id }) => id === this.#chosen) ?? this.#runs[0];
    const drawn = this.#keyOf(run);
    if (drawn === this.#drawn) return;
    this.#drawn = drawn;
    if (!run) {
      this.section.body.replaceChildren();
      return;
    }
    this.#draw(run);
    this.section.body.replaceChildren(this.#choice(run), this.#picture);
  }

  /** Other than before where anything of what is laid out is. */
  #keyOf(run: PreviewRun | undefined): string {
    return JSON.stringify([this.#runs, run?.id, this.#file]);
  }

  #choice(shown: PreviewRun): HTMLElement {
    const ways = this.#runs.map((run) => {
      const input = make("input", { type: "radio", name: "run", value: run.id });
      input.checked = run === shown;
      input.addEventListener("change", () => {
        this.#chosen = run.id;
        this.#drawn = this.#keyOf(run);
        this.#draw(run);
      });
      return make("label", {}, input, ` ${nameOf(run)}`);
    });
    return make("fieldset", { class: "choice" }, make("legend", {}, "Which run"), ...ways);
  }

  #draw(run: PreviewRun): void {
    const lines = run.lines.map(({ time, what, after, place }) =>
      make(
        "tr",
        {},
        make("td", { class: "time" }, time),
        make("td", {}, ...sentence(what), ...(after === "" ? [] : [make("span", { class: "after" }, after)])),
        make("td", {}, ...(place ? [placeButton(place, this.#file)] : [])),
      ),
    );
    const table = make(
      "table",
      { class: "lines" },
      make("caption", {}, "The same line by line"),
      make(
        "thead",
        {},
        make(
          "tr",
          {},
          make("th", { scope: "col", class: "time" }, "Time"),
          ...["What happens", "Line"].map((text) => make("th", { scope: "col" }, text)),
        ),
      ),
      make("tbody", {}, ...lines),
    );
    this.#picture.replaceChildren(pictureShown({ ...run, title: nameOf(run) }, this.#open), table);
  }
}

function nameOf({ kind, title, isStale }: PreviewRun): string {
  const name = kind === "breaks-a-rule" ? `Breaks ${title}` : title;
  return isStale ? `${name} (from before the last change)` : name;
}
