import { type Content, element, type Markup, markupText } from "@limbwright/shared/text";
import { htmlPage } from "../html/page.ts";
import { backPage } from "./page-back.ts";
import { frontPage } from "./page-front.ts";
import type { Sheet, SheetHead } from "./sheet.ts";
import { STYLE } from "./style.ts";

/** A sheet as one page of HTML: no script, nothing from elsewhere, and every text of the protocol as text. */
export function sheetPage(sheet: Sheet): string {
  const { title, version } = sheet.head;
  return htmlPage({ title: `${title}, ${version}`, style: STYLE, body: paperOf(sheet) });
}

/** The same as what a page of HTML holds, to be shown in another page with the style of a sheet. */
export function sheetPaper(sheet: Sheet): SheetPaper {
  return { html: markupText(paperOf(sheet)), style: STYLE };
}

export interface SheetPaper {
  readonly html: string;
  /** Rules for `html` and `body` are those for the paper. */
  readonly style: string;
}

function paperOf(sheet: Sheet): Markup {
  const { head, marks, caution } = sheet;
  return element(
    "div",
    { class: "sheet" },
    headOf(head, marks),
    element("main", {}, frontPage(sheet), backPage(sheet)),
    element("footer", { class: "foot" }, element("div", { class: "foot-inner" }, element("p", {}, caution))),
  );
}

function headOf(head: SheetHead, marks: readonly string[]): Markup {
  const { name, title, hospital, owner, version, status, reviewBy, meaning, place } = head;
  const facts: [string, string | undefined][] = [
    ["Version", version],
    ["Status", status],
    ["Review by", reviewBy ?? "not said"],
  ];
  return element(
    "header",
    { class: "head", "data-file": place.file, "data-line": place.line },
    element(
      "div",
      { class: "head-inner" },
      element(
        "div",
        {},
        element("h1", {}, title),
        element(
          "p",
          {},
          marks.length === 0 ? [] : [element("strong", { class: "marks" }, marks.join(" · ")), " "],
          [hospital, owner, name].filter((one) => one !== undefined).join(" · "),
        ),
      ),
      element(
        "dl",
        {},
        facts.flatMap(([term, says]): Content[] =>
          says === undefined ? [] : [element("dt", {}, term), element("dd", {}, says)],
        ),
      ),
    ),
    element("p", { class: "meaning" }, element("code", {}, `meaning ${meaning}`)),
  );
}
