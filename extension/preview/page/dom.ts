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
