type Child = Node | string;

/** An element with its attributes and what is in it. A text is set as text, never read as markup. */
export function make<Name extends keyof HTMLElementTagNameMap>(
  name: Name,
  attributes: Readonly<Record<string, string | undefined>> = {},
  ...children: readonly Child[]
): HTMLElementTagNameMap[Name] {
  const element = document.createElement(name);
  for (const [attribute, value] of Object.entries(attributes)) {
    if (value !== undefined) element.setAttribute(attribute, value);
  }
  element.append(...children);
  return element;
}

/** A message of the project sets names between backticks; they are shown as such. */
export function sentence(text: string): Child[] {
  const parts = text.split("`");
  if (parts.length % 2 === 0) return [text];
  return parts.flatMap((part, at): Child[] => (at % 2 === 1 ? [make("code", {}, part)] : [part]));
}

/** A part of the form: its heading, a note on what is old or missing, and what it shows. */
export class Section {
  readonly element: HTMLElement;
  readonly body: HTMLElement = make("div", { class: "body" });
  readonly #note: HTMLElement = make("p", { class: "note" });
  readonly #old: HTMLElement = make("span", { class: "old", hidden: "" }, "from before the last change");

  constructor(id: string, title: string) {
    const heading = make("h2", { id: `${id}-heading`, tabindex: "-1" }, title);
    const head = make("div", { class: "section-head" }, heading, this.#old);
    this.element = make("section", { id, "aria-labelledby": `${id}-heading` }, head, this.#note, this.body);
    this.say(undefined);
  }

  /** Whether what it shows was drawn before the last change of the text. */
  set isOld(isOld: boolean) {
    this.#old.hidden = !isOld;
    this.element.classList.toggle("is-old", isOld);
  }

  /** Why something is missing; nothing where nothing is. */
  say(words: string | undefined): void {
    this.#note.replaceChildren(...sentence(words ?? ""));
    this.#note.hidden = words === undefined;
  }
}
