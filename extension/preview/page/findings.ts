import type { PreviewFinding, PreviewModel } from "@limbwright/shared/editor";
import { type LinePlace, openPointOf } from "@limbwright/shared/finding";
import { make, sentence } from "./dom.ts";

/** What was found, the worst first, and below it what is not decided, which is no pass. */
export function findingsShown(
  { findings, verdicts, state, file }: PreviewModel,
  showRun: (id: string) => void,
): HTMLElement[] {
  const undecided = state === "stale" ? [] : verdicts.filter((one) => openPointOf(one));
  const parts: HTMLElement[] = [];
  if (findings.length > 0) {
    parts.push(make("ol", { class: "findings" }, ...findings.map((one) => findingShown(one, file, showRun))));
  } else if (state !== "stale") parts.push(make("p", {}, "Nothing found."));
  const answers = state === "stale" ? [] : verdicts.flatMap((one) => answersShown(one, file));
  if (answers.length > 0) {
    parts.push(
      make("h3", {}, "Answered by local rules, which is no proof"),
      make("ul", { class: "answered" }, ...answers),
    );
  }
  if (undecided.length > 0) {
    parts.push(
      make("h3", {}, `Not decided, which is not a pass: ${undecided.length}`),
      make(
        "ul",
        { class: "undecided" },
        ...undecided.map((verdict) => {
          const { origin, limit } = openPointOf(verdict) ?? { origin: undefined, limit: "" };
          const place = origin && { file: origin.file, line: origin.start.line };
          return make(
            "li",
            {},
            make("span", { class: "rule" }, verdict.rule),
            ...(place ? [" ", placeButton(place, file)] : []),
            make("br"),
            ...sentence(limit),
          );
        }),
      ),
    );
  }
  return parts;
}

/** Who answers for a value that no rule knows, with the line. */
function answersShown(verdict: PreviewModel["verdicts"][number], file: string): HTMLElement[] {
  if (verdict.kind !== "answered") return [];
  return verdict.answers.map(({ what, source, because, by, until, origin }) =>
    make(
      "li",
      {},
      make("span", { class: "rule" }, verdict.rule),
      " ",
      placeButton({ file: origin.file, line: origin.start.line }, file),
      make("br"),
      ...sentence(`${what}, by ${by} until ${until}: ${because} (source: ${source})`),
    ),
  );
}

function findingShown(
  { severity, rule, says, place, related, run, isAccepted, isStale }: PreviewFinding,
  file: string,
  showRun: (id: string) => void,
): HTMLElement {
  const [what = "", ...more] = says;
  const head = make(
    "p",
    { class: "finding-head" },
    make("strong", { class: "severity" }, isAccepted ? `accepted (${severity})` : severity),
    " ",
    make("span", { class: "rule" }, rule),
    " ",
    placeButton(place, file),
  );
  if (isStale) head.append(" ", make("span", { class: "old" }, "from before the last change"));
  const item = make(
    "li",
    { class: `finding ${isAccepted ? "accepted" : severity}` },
    head,
    make("p", { class: "what" }, ...sentence(what)),
    ...more.map((text) => make("p", {}, ...sentence(text))),
  );
  if (related.length > 0) {
    const others = related.map((one) =>
      make("li", {}, placeButton(one.place, file), " ", ...sentence(one.note)),
    );
    item.append(make("ul", { class: "related" }, ...others));
  }
  if (run !== undefined) {
    const button = make("button", { type: "button", class: "show-run" }, "Show the run");
    button.addEventListener("click", () => showRun(run));
    item.append(button);
  }
  return item;
}

/** A button that opens a line; the file is named where it is another than the protocol's. */
export function placeButton(place: LinePlace, own: string): HTMLElement {
  const words = place.file === own ? `line ${place.line}` : `${place.file}, line ${place.line}`;
  return make(
    "button",
    { type: "button", class: "place", "data-file": place.file, "data-line": String(place.line) },
    words,
  );
}
