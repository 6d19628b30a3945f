import type { PreviewModel } from "@limbwright/shared/editor";
import type { LinePlace } from "@limbwright/shared/finding";
import type { FromPage, ToPage } from "../messages.ts";
import { make, Section } from "./dom.ts";
import { DoseSection } from "./dose-section.ts";
import { findingsShown } from "./findings.ts";
import { bringIntoView, light, placeAt } from "./marks.ts";
import { RunSection } from "./run-section.ts";
import { SheetSection } from "./sheet-section.ts";

declare function acquireVsCodeApi(): { postMessage(message: FromPage): void };

/** The page of a preview: it shows what it is told, and tells what is chosen on it. It computes nothing. */
class Page {
  readonly #tell: (message: FromPage) => void;
  readonly #title = make("h1", {}, "Preview");
  readonly #standing = make("p", { class: "standing", role: "status" }, "Waiting for a protocol.");
  readonly #times = make("p", { class: "times" });
  readonly #caution = make("footer", { class: "caution" });
  readonly #findings = new Section("findings", "Findings");
  readonly #runs: RunSection;
  readonly #doses: DoseSection;
  readonly #sheet: SheetSection;
  #shown: PreviewModel | undefined;
  #cursor: LinePlace | undefined;
  #drawnFindings = "";

  constructor(root: HTMLElement, tell: (message: FromPage) => void) {
    this.#tell = tell;
    const open = ({ file, line }: LinePlace) => tell({ kind: "open", file, line });
    this.#runs = new RunSection(open);
    this.#doses = new DoseSection(open, (patient) => tell({ kind: "patient", patient }));
    this.#sheet = new SheetSection(open);
    const sections = [this.#findings, this.#runs.section, this.#doses.section, this.#sheet.section];
    root.append(
      make("header", { class: "head" }, this.#title, this.#standing, this.#times, waysTo(sections)),
      make("main", {}, ...sections.map(({ element }) => element)),
      this.#caution,
    );
    root.addEventListener("click", ({ target }) => {
      const place = target instanceof Element && target.closest("button.place") ? placeAt(target) : undefined;
      if (place) open(place);
    });
    root.addEventListener("change", () => this.#light());
  }

  take(message: ToPage): void {
    switch (message.kind) {
      case "model":
        this.#show(message.model);
        break;
      case "nothing":
        this.#showNothing(message.uri, message.because);
        break;
      case "changed":
        this.#markChanged();
        break;
      case "cursor":
        this.#cursor = { file: message.file, line: message.line };
        bringIntoView(this.#light());
        break;
    }
  }

  ready(): void {
    this.#tell({ kind: "ready" });
  }

  #show(model: PreviewModel): void {
    const isOther = this.#shown?.uri !== model.uri || this.#shown.protocol !== model.protocol;
    if (isOther) this.#forget();
    this.#shown = model;
    this.#title.textContent = model.title ?? model.protocol;
    this.#stand(model.state, standingText(model));
    this.#times.textContent = model.timesSay ?? "";
    this.#showFindings(model);
    this.#runs.show(model);
    this.#doses.show(model);
    this.#sheet.show(model);
    this.#caution.textContent = model.caution;
    this.#light();
  }

  #showFindings(model: PreviewModel): void {
    this.#findings.isOld = false;
    const drawn = JSON.stringify([model.findings, model.verdicts, model.state, model.file]);
    if (drawn === this.#drawnFindings) return;
    this.#drawnFindings = drawn;
    this.#findings.body.replaceChildren(...findingsShown(model, (id) => this.#runs.choose(id)));
  }

  /** What was shown of the text stays, marked as old; of another text nothing stays. */
  #showNothing(uri: string, because: string): void {
    if (this.#shown?.uri !== uri) {
      this.#forget();
      this.#title.textContent = "Preview";
    }
    this.#stand("stale", because);
    this.#markOld();
  }

  #markChanged(): void {
    if (!this.#shown) return;
    this.#stand("stale", CHANGED);
    this.#markOld();
  }

  #markOld(): void {
    const isShown = this.#shown !== undefined;
    this.#times.textContent = "";
    for (const section of [this.#findings, this.#runs.section, this.#doses.section, this.#sheet.section]) {
      section.isOld = isShown && section.body.childElementCount > 0;
    }
  }

  #forget(): void {
    this.#shown = undefined;
    this.#drawnFindings = "";
    this.#findings.body.replaceChildren();
    this.#times.textContent = "";
    this.#runs.forget();
    this.#doses.forget();
    this.#sheet.forget();
  }

  /** Said once, not again for each key. */
  #stand(state: PreviewModel["state"], words: string): void {
    this.#standing.dataset.state = state;
    if (this.#standing.textContent !== words) this.#standing.textContent = words;
  }

  #light(): Element[] {
    const { paper } = this.#sheet;
    const main = this.#findings.element.parentElement;
    return light([...(main ? [main] : []), ...(paper ? [paper] : [])], this.#cursor);
  }
}

const CHANGED = "Being checked. What is shown is from before the last change.";

function standingText({ state, words }: PreviewModel): string {
  switch (state) {
    case "holds":
      return `Holds: ${words}.`;
    case "broken":
      return `Broken: ${words}.`;
    case "not-decided":
      return `Not decided, which is not a pass: ${words}.`;
    case "stale":
      return `Not known for the text as it stands: ${words}.`;
  }
}

/** Ways to the parts of the form. */
function waysTo(sections: readonly Section[]): HTMLElement {
  const ways = sections.map(({ element }) => {
    const heading = element.querySelector("h2");
    const button = make("button", { type: "button" }, heading?.textContent ?? "");
    button.addEventListener("click", () => {
      element.scrollIntoView({ block: "start" });
      heading?.focus({ preventScroll: true });
    });
    return make("li", {}, button);
  });
  return make("nav", { "aria-label": "Parts of the preview" }, make("ul", {}, ...ways));
}

const root = document.getElementById("page");
if (root) {
  const editor = acquireVsCodeApi();
  const page = new Page(root, (message) => editor.postMessage(message));
  window.addEventListener("message", ({ data }: MessageEvent<ToPage>) => page.take(data));
  page.ready();
}
