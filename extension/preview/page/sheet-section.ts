import type { PreviewModel } from "@limbwright/shared/editor";
import type { LinePlace } from "@limbwright/shared/finding";
import { make, Section } from "./dom.ts";
import { makeReachable } from "./marks.ts";
import { adoptHtml } from "./pictures.ts";

/** The sheet as it will print: on white paper whatever the theme, with its own style, apart from the page around it. */
export class SheetSection {
  readonly section = new Section("sheet", "Sheet as it prints");
  readonly #open: (place: LinePlace) => void;
  readonly #place = make("div", { class: "paper-place" });
  #paper: ShadowRoot | undefined;
  #drawn = "";

  constructor(open: (place: LinePlace) => void) {
    this.#open = open;
    this.section.body.append(this.#place);
  }

  /** What is in the sheet, where marks are looked for. */
  get paper(): ShadowRoot | undefined {
    return this.#paper;
  }

  show({ sheet: { shown, because }, title, protocol }: PreviewModel): void {
    this.section.say(because);
    this.section.isOld = shown === undefined && this.#drawn !== "";
    if (!shown || this.#drawn === shown.html) return;
    this.#drawn = shown.html;
    const host = make("div", {
      class: "paper",
      role: "group",
      "aria-label": `Sheet of ${title ?? protocol}`,
    });
    const paper = host.attachShadow({ mode: "open" });
    paper.adoptedStyleSheets = [styleOf(shown.style)];
    paper.append(make("div", { class: "page" }));
    paper.firstElementChild?.append(withoutMain(adoptHtml(shown.html)));
    if (paper.firstElementChild) makeReachable(paper.firstElementChild, this.#open);
    // The old sheet goes only when the new one is whole.
    this.#place.replaceChildren(host);
    this.#paper = paper;
  }

  forget(): void {
    this.#drawn = "";
    this.#paper = undefined;
    this.section.isOld = false;
    this.#place.replaceChildren();
  }
}

/** A page has one main part, and that of this page is not the sheet's. */
function withoutMain(sheet: DocumentFragment): DocumentFragment {
  for (const main of sheet.querySelectorAll("main")) {
    const part = make("div", { class: "main" });
    part.append(...main.childNodes);
    main.replaceWith(part);
  }
  return sheet;
}

/** The sheet's rules for `html` and `body` are those for the paper and the page on it. */
function styleOf(style: string): CSSStyleSheet {
  const sheet = new CSSStyleSheet();
  const own = style
    .replace(/(^|[{}])html\{/g, "$1:host{")
    .replace(/(^|[{}])body\{/g, "$1.page{")
    .replace(/(^|[{}])main\{/g, "$1.main{");
  sheet.replaceSync(`${own}${ON_SCREEN}`);
  return sheet;
}

/** What the page adds to the sheet: marks can be chosen, and one is lit. */
const ON_SCREEN = [
  ":host{display:block}",
  "@media screen{.page{border:0;margin:0 auto}}",
  "@media screen{[data-line]{cursor:pointer}}",
  "@media screen{.lit:not(svg *){outline:.7mm solid #000;outline-offset:.5mm;background:#e0e0e0}}",
  "@media screen{svg .lit,svg .lit line{stroke-width:2.2}svg text{stroke:none}}",
  "[data-line]:focus-visible{outline:.5mm dashed #000;outline-offset:.5mm}",
].join("");
