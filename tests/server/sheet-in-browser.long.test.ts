import { readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { Site, sheetPage, sheetsOf } from "@limbwright/language";
import type { AxeResults } from "axe-core";
import type { Page } from "playwright-core";
import { extractText, getDocumentProxy } from "unpdf";
import { describe, expect, test } from "vitest";
import { filesIn } from "../examples/site.ts";
import { randomProtocol } from "../fuzz/random-protocol.ts";
import { WRIST, writtenFrom } from "../language/sheet/written-sheet.ts";
import { again, seeds, someOf } from "../questions.ts";
import { openBrowser } from "./open-browser.ts";
import { folderWith } from "./run-limb.ts";

// A browser that prints is the reference for how pages break; axe-core, for what WCAG 2 asks of a page.
const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** A4 less the margins of the sheet, in pixels of CSS: 190 mm by 277 mm. */
const WIDTH = Math.floor((190 * 96) / 25.4);
const HEIGHT = (277 * 96) / 25.4;

/** Opens a sheet as its file; what the page says or does by itself is kept. */
async function opened(html: string, size = { width: WIDTH, height: 1000 }) {
  const file = join(folderWith({ "sheet.html": "" }), "sheet.html");
  writeFileSync(file, html);
  const page = await (await openBrowser()).newPage({ viewport: size });
  const heard: string[] = [];
  page.on("dialog", (dialog) => {
    heard.push(`dialog ${dialog.message()}`);
    void dialog.dismiss();
  });
  page.on("console", (message) => heard.push(message.text()));
  page.on("pageerror", (error) => heard.push(error.message));
  page.on("request", (request) => {
    if (!request.url().startsWith("file:")) heard.push(request.url());
  });
  await page.goto(pathToFileURL(file).href);
  return { page, heard };
}

/** The pages a sheet prints on: their sizes in points, and the text on each without its spaces. */
async function printed(page: Page) {
  const pdf = await getDocumentProxy(new Uint8Array(await page.pdf({ preferCSSPageSize: true })));
  const { text } = await extractText(pdf, { mergePages: false });
  const [, , ...size] = (await pdf.getPage(1)).view;
  return { size: size.map(Math.round), texts: text.map((one) => one.replace(/\s/g, "")) };
}

/** Runs in the page: the elements that are wider than the room they have, or stand out of the sheet. */
function overflowing(): string[] {
  const here = globalThis as unknown as { document: DocumentLike };
  const edge = here.document.documentElement.clientWidth;
  return [...here.document.querySelectorAll("body *")].flatMap((one) => {
    if (one.closest(".across, .hidden, head, svg *")) return [];
    const isCut = one.scrollWidth > one.clientWidth + 1 && one.clientWidth > 0 && !one.closest("svg");
    const isOut = one.getBoundingClientRect().right > edge + 1;
    return isCut || isOut ? [`${one.tagName} ${one.textContent?.slice(0, 40)}`] : [];
  });
}

/** Runs in the page: the heights of its parts. */
function heights(): Record<string, number> {
  const here = globalThis as unknown as { document: DocumentLike };
  const parts = [".head", ".front", ".back", ".foot"];
  return Object.fromEntries(
    parts.map((part) => [part, here.document.querySelector(part)?.getBoundingClientRect().height ?? 0]),
  );
}

interface ElementLike {
  readonly tagName: string;
  readonly textContent: string | null;
  readonly scrollWidth: number;
  readonly clientWidth: number;
  closest(selector: string): unknown;
  getBoundingClientRect(): { readonly right: number; readonly height: number };
}

interface DocumentLike {
  readonly documentElement: ElementLike;
  querySelectorAll(selector: string): Iterable<ElementLike>;
  querySelector(selector: string): ElementLike | null;
}

describe("the standard example", () => {
  test("prints on two pages of A4", async () => {
    const { page } = await opened(writtenFrom(WRIST).html);
    // ISO 216: A4 is 210 mm by 297 mm, which are 595 by 842 points.
    const { size, texts } = await printed(page);
    expect([size, texts.length]).toEqual([[595, 842], 2]);
    await page.close();
  });

  test("has a side to each page, with head and foot", async () => {
    const { page } = await opened(writtenFrom(WRIST).html);
    await page.emulateMedia({ media: "print" });
    const {
      ".head": head = 0,
      ".front": front = 0,
      ".back": back = 0,
      ".foot": foot = 0,
    } = await page.evaluate(heights);
    expect(Math.min(head, front, back, foot)).toBeGreaterThan(0);
    expect(head + front + foot).toBeLessThan(HEIGHT);
    expect(head + back + foot).toBeLessThan(HEIGHT);
    await page.close();
  });

  test("prints on two pages with a finding on it, as a draft that is overdue", async () => {
    const { page } = await opened(
      writtenFrom("flawed/let-down-early.limb", { draft: true, on: "2030-01-01" }).html,
    );
    expect((await printed(page)).texts).toHaveLength(2);
    await page.close();
  });
});

/** What takes longest is asked of one sheet on each commit, another in each run, and every night of all. */
const LOOKED_AT = someOf(filesIn("protocols"));

describe.each(filesIn("protocols"))("%s", (file) => {
  test("has nothing cut and nothing beside the paper, on A4 and on a narrow screen", async () => {
    const { html } = writtenFrom(file);
    const paper = await opened(html);
    await paper.page.emulateMedia({ media: "print" });
    expect(await paper.page.evaluate(overflowing)).toEqual([]);
    const screen = await opened(html, { width: 800, height: 600 });
    expect(await screen.page.evaluate(overflowing)).toEqual([]);
    await paper.page.close();
    await screen.page.close();
  });

  test("says on every page what it is, that it is no device, and across it that it is not approved", async () => {
    const { sheet, html } = writtenFrom(file);
    const { page } = await opened(html);
    const { texts } = await printed(page);
    const { title, version, status, reviewBy = "", meaning } = sheet.head;
    const wanted = [title, version, status, reviewBy, meaning, sheet.caution].map((text) =>
      text.replace(/\s/g, ""),
    );
    for (const text of texts) expect(wanted.filter((one) => !text.includes(one))).toEqual([]);
    const mark = sheet.marks.join("·").replace(/\s/g, "");
    const marks = (text: string) => text.split(mark).length - 1;
    const inHead = texts[0]?.slice(0, texts[0].indexOf(meaning)) ?? "";
    const across = texts.map((text) => marks(text) - marks(inHead));
    if (mark !== "") {
      expect(marks(inHead)).toBeGreaterThan(0);
      // On the first page of each side; a last page with only a few lines has no room.
      const begins = texts.flatMap((text, at) => (/Forwhom|Doses/.test(text) ? [across[at]] : []));
      expect(begins).toHaveLength(2);
      expect(Math.min(...begins.map((one) => one ?? 0))).toBeGreaterThan(1);
    }
    await page.close();
  });

  test.runIf(LOOKED_AT.includes(file))("has no fault that axe-core knows", async () => {
    const { page } = await opened(writtenFrom(file).html);
    await page.evaluate(AXE);
    const found = (await page.evaluate("axe.run()")) as AxeResults;
    expect(found.violations.map(({ id, nodes }) => [id, nodes[0]?.html])).toEqual([]);
    expect(found.passes.length).toBeGreaterThan(20);
    await page.close();
  });

  test("lets its style through, and asks for nothing", async () => {
    const { page, heard } = await opened(writtenFrom(file).html);
    const border = await page.evaluate(
      "getComputedStyle(document.querySelector('.head-inner')).borderBottomStyle",
    );
    expect({ border, heard }).toEqual({ border: "solid", heard: [] });
    await page.close();
  });
});

test("sheets of random protocols have nothing cut and nothing beside the paper", async () => {
  const all = seeds(120);
  const found: unknown[] = [];
  let count = 0;
  for (const seed of all) {
    const site = new Site((file) => (file === "a.limb" ? randomProtocol(seed) : undefined));
    for (const result of sheetsOf(site, "a.limb", { on: "2026-11-25", draft: true }) ?? []) {
      if (result.kind === "refused") continue;
      const { page } = await opened(sheetPage(result.sheet));
      await page.emulateMedia({ media: "print" });
      const [first] = await page.evaluate(overflowing);
      if (first !== undefined) found.push([again(seed), first]);
      count += 1;
      await page.close();
    }
  }
  expect(found).toEqual([]);
  expect(count).toBeGreaterThan(0);
});

test("a script in a title is a title", async () => {
  const title = "<script>alert(1)</script><img src=x onerror=alert(2)>";
  const { html } = writtenFrom(WRIST, { changes: { "Wrist fracture reduction under IVRA": title } });
  const { page, heard } = await opened(html);
  expect(await page.textContent("h1")).toBe(title);
  expect(heard).toEqual([]);
  await page.close();
});
