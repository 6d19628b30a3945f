/** An element with its attributes and what is in it. A text is set as text, never read as markup. */
export function make(name, attributes = {}, ...children) {
  const element = document.createElement(name);
  for (const [attribute, value] of Object.entries(attributes)) {
    if (value !== undefined) element.setAttribute(attribute, value);
  }
  element.append(...children.flat());
  return element;
}

export function button(words, act, attributes = {}) {
  const element = make("button", { type: "button", ...attributes }, words);
  element.addEventListener("click", act);
  return element;
}

/** A sentence of the runtime sets names between backticks; they are shown as such. */
export function sentence(text) {
  const parts = text.split("`");
  if (parts.length % 2 === 0) return [text];
  return parts.map((part, at) => (at % 2 === 1 ? make("q", {}, part) : part));
}

/** Puts parts in the place of what was there, and the focus where reading goes on. */
export function show(place, parts, focus) {
  place.replaceChildren(...parts);
  focus?.focus();
}

/** A list of sentences that is read out as soon as it is filled. */
export function announcement() {
  const element = make("div", { role: "alert", class: "refusal" });
  element.tell = (title, sentences) => {
    const lines = make("ul", {}, ...sentences.map((text) => make("li", {}, ...sentence(text))));
    element.replaceChildren(...(sentences.length === 0 ? [] : [make("p", {}, title), lines]));
  };
  return element;
}
