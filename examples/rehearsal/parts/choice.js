import { announcement, button, make } from "./dom.js";

/**
 * The first page: which protocol is rehearsed. `take` is given the text of a rule file, and gives the reasons why it is
 * refused.
 */
export function choiceOfProtocol(readings, take) {
  const heading = make("h1", { tabindex: "-1" }, "Which protocol is rehearsed?");
  const refusal = announcement();
  const choose = (text) =>
    refusal.tell("This file is no rule file that can be followed:", take(text).slice(0, 3));
  const known = readings.flatMap(({ kind, file, text }) => {
    if (kind === "refused") return [];
    const { name, title, version, hospital } = file.protocol;
    const more = make("span", { class: "aside" }, [name, version, hospital].filter(Boolean).join(", "));
    return [
      make(
        "li",
        {},
        button(title ?? name, () => choose(text)),
        " ",
        more,
      ),
    ];
  });
  const input = make("input", { type: "file", id: "own-file", accept: ".json,application/json" });
  input.addEventListener("change", async () => {
    const [chosen] = input.files;
    if (chosen) choose(await chosen.text());
  });
  const parts = [
    heading,
    make(
      "p",
      {},
      "A rehearsal takes an invented patient through a protocol, step by step, on a clock of its own.",
    ),
    ...(known.length > 0 ? [make("ul", { class: "choices protocols" }, ...known)] : []),
    make(
      "p",
      {},
      make("label", { for: "own-file" }, "Or a rule file of your own, as limb compile writes it: "),
      input,
    ),
    refusal,
  ];
  return { parts, focus: heading };
}
