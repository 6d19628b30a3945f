import type { LinePlace } from "@limbwright/shared/finding";

const MARK = "[data-file][data-line]";

/** The place that a mark leads to; the innermost where one is in another. */
export function placeAt(target: EventTarget | null): LinePlace | undefined {
  const mark = target instanceof Element ? target.closest(MARK) : null;
  const file = mark?.getAttribute("data-file");
  const line = Number(mark?.getAttribute("data-line"));
  return file !== null && file !== undefined && line > 0 ? { file, line } : undefined;
}

/**
 * Makes the marks of a picture or a sheet reachable by the keyboard: one of them by Tab, the others from there by the arrow keys, Home
 * and End; Enter or Space opens the line. In a picture each is a button with its words; on a sheet each stays the line of text it is.
 */
export function makeReachable(root: Element | ShadowRoot, open: (place: LinePlace) => void): void {
  const marks = [...root.querySelectorAll<HTMLElement | SVGElement>(MARK)];
  for (const picture of root.querySelectorAll("svg[role=img]")) asGroup(picture);
  for (const [at, mark] of marks.entries()) {
    mark.setAttribute("tabindex", at === 0 ? "0" : "-1");
    if (mark instanceof SVGElement) asButton(mark);
  }
  root.addEventListener("click", (event) => {
    const place = placeAt(event.target);
    if (place) open(place);
  });
  root.addEventListener("keydown", (event) => {
    if (!(event instanceof KeyboardEvent)) return;
    const at = marks.indexOf(event.target as HTMLElement);
    if (at < 0) return;
    const next = nextIndex(event.key, at, marks.length);
    const place = event.key === "Enter" || event.key === " " ? placeAt(event.target) : undefined;
    if (next === undefined && !place) return;
    event.preventDefault();
    if (place) open(place);
    if (next !== undefined) rove(marks, at, next);
  });
}

/** A picture with marks is a group with a title and a description: an image as a whole would hide its marks. */
function asGroup(picture: Element): void {
  const [title, ...description] = (picture.getAttribute("aria-labelledby") ?? "").split(" ");
  picture.setAttribute("role", "group");
  picture.setAttribute("aria-labelledby", title ?? "");
  picture.setAttribute("aria-describedby", description.join(" "));
}

/** Its title is its name. */
function asButton(mark: SVGElement): void {
  mark.setAttribute("role", "button");
  mark.setAttribute("aria-description", `opens line ${mark.getAttribute("data-line")}`);
}

function nextIndex(key: string, at: number, count: number): number | undefined {
  switch (key) {
    case "ArrowRight":
    case "ArrowDown":
      return Math.min(at + 1, count - 1);
    case "ArrowLeft":
    case "ArrowUp":
      return Math.max(at - 1, 0);
    case "Home":
      return 0;
    case "End":
      return count - 1;
    default:
      return undefined;
  }
}

function rove(marks: readonly (HTMLElement | SVGElement)[], from: number, to: number): void {
  marks[from]?.setAttribute("tabindex", "-1");
  marks[to]?.setAttribute("tabindex", "0");
  marks[to]?.focus();
}

/** Lights the marks of a line in all parts of the page, and gives them. */
export function light(roots: readonly (Element | ShadowRoot)[], place: LinePlace | undefined): Element[] {
  const lit: Element[] = [];
  for (const root of roots) {
    for (const mark of root.querySelectorAll(MARK)) {
      const isLit =
        place !== undefined &&
        mark.getAttribute("data-file") === place.file &&
        mark.getAttribute("data-line") === String(place.line);
      mark.classList.toggle("lit", isLit);
      if (isLit) lit.push(mark);
    }
  }
  return lit;
}

/** Brings the nearest of some marks into view, unless one is there already. */
export function bringIntoView(marks: readonly Element[]): void {
  if (marks.some(isInView)) return;
  const nearest = [...marks].sort((a, b) => distanceFromTop(a) - distanceFromTop(b))[0];
  nearest?.scrollIntoView({ block: "center" });
}

function isInView(mark: Element): boolean {
  const { top, bottom } = mark.getBoundingClientRect();
  return bottom > headHeight() && top < window.innerHeight;
}

/** The head of the page stays where it is, over what is scrolled. */
function headHeight(): number {
  return document.querySelector(".head")?.getBoundingClientRect().height ?? 0;
}

function distanceFromTop(mark: Element): number {
  return Math.abs(mark.getBoundingClientRect().top);
}
