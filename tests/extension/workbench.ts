import { mkdirSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { errors, type FrameLocator, type Locator, type Page } from "playwright-core";
import { expect } from "vitest";
import { openBrowser } from "../server/open-browser.ts";

/** Where pictures of the screen go, if anybody wants them. */
const PICTURES = process.env.LIMBWRIGHT_PICTURES;

/** A real VS Code in a browser, as a person sees and handles it. */
export class Workbench {
  readonly page: Page;
  readonly #faults: string[] = [];

  readonly #pictures: string;

  private constructor(page: Page, pictures: string) {
    this.page = page;
    this.#pictures = pictures;
    page.setDefaultTimeout(60_000);
    page.on("pageerror", (error) => this.#faults.push(String(error)));
  }

  /** `pictures` is what the names of its pictures begin with. */
  static async open(url: string, pictures = ""): Promise<Workbench> {
    const context = await (await openBrowser()).newContext({ viewport: { width: 1360, height: 860 } });
    await context.grantPermissions(["clipboard-read", "clipboard-write"]);
    const workbench = new Workbench(await context.newPage(), pictures);
    await workbench.page.goto(url);
    await workbench.page.waitForSelector(".monaco-workbench .explorer-folders-view .monaco-list-row");
    return workbench;
  }

  async close(): Promise<void> {
    await this.page.context().close();
  }

  /** The editor in front. */
  get editor(): Locator {
    return this.page.locator(".editor-group-container.active .monaco-editor").first();
  }

  /** Opens a file of the folder by the names in its path. */
  async openFile(path: string): Promise<void> {
    const names = path.split("/");
    for (const [index, name] of names.entries()) {
      if (index < names.length - 1) await this.expand(name, index + 1);
      else await this.#row(name, index + 1).dblclick();
    }
    await this.page.locator(`.tab.active[data-resource-name="${names.at(-1)}"]`).waitFor();
  }

  /** Shows what is in a folder, which lies in some level of the explorer. */
  async expand(folder: string, level = 1): Promise<void> {
    const row = this.#row(folder, level);
    if ((await row.getAttribute("aria-expanded")) !== "true") await row.click();
  }

  /** All names that the explorer lists. */
  async allFiles(): Promise<string[]> {
    const names = await this.page.locator(".explorer-folders-view .monaco-list-row").allTextContents();
    return names.map((name) => name.trim());
  }

  #row(name: string, level: number): Locator {
    return this.page
      .locator(`.explorer-folders-view .monaco-list-row[aria-level="${level}"]`, {
        has: this.page.getByText(name, { exact: true }),
      })
      .first();
  }

  /** Chooses a command by its title, as a person who types it; again, where something else took the focus and closed the box. */
  async command(title: string): Promise<void> {
    for (let left = 4; !(await this.#isChosen(title)); left -= 1) {
      if (left === 0) throw new Error(`the command "${title}" could not be chosen`);
    }
  }

  async #isChosen(title: string): Promise<boolean> {
    const soon = { timeout: 8_000 };
    const input = this.page.locator(".quick-input-widget input.input");
    try {
      await this.page.keyboard.press("F1");
      await input.waitFor(soon);
      await input.fill(`>${title}`, soon);
      // The list moves while it is filtered, so its first row is taken by a key and not by a click.
      await this.page.locator(".quick-input-list .monaco-list-row.focused", { hasText: title }).waitFor(soon);
      await input.press("Enter", soon);
      return true;
    } catch (error) {
      if (error instanceof errors.TimeoutError) return false;
      throw error;
    }
  }

  /** Types into the box that asks for something, and confirms. */
  async answer(text: string): Promise<void> {
    const input = this.page.locator(".quick-input-widget input.input");
    await input.waitFor();
    await input.fill(text);
    await this.page.keyboard.press("Enter");
  }

  /** Puts the cursor on a line, counted from 1, and a column. */
  async goTo(line: number, column = 1): Promise<void> {
    await this.editor.locator(".view-line").first().waitFor();
    await this.page.keyboard.press("Control+g");
    await this.answer(`:${line}:${column}`);
    await this.page.locator(".quick-input-widget").waitFor({ state: "hidden" });
  }

  /** The problems as they are listed, one text each. */
  async problems(): Promise<string[]> {
    const rows = this.page.locator(".markers-panel .monaco-list-row");
    if ((await rows.count()) === 0) await this.page.keyboard.press("Control+Shift+m");
    await rows.first().waitFor();
    return (await rows.allInnerTexts()).map((text) => text.replace(/\s+/g, " "));
  }

  /** The names in a folder at the top, as the explorer lists them. */
  async files(folder: string): Promise<string[]> {
    const rows = await this.page.locator(".explorer-folders-view .monaco-list-row").all();
    const told = await Promise.all(
      rows.map(async (row) => [await row.getAttribute("aria-level"), await row.textContent()] as const),
    );
    const from = told.findIndex(([, name]) => name?.trim() === folder) + 1;
    const end = told.findIndex(([level], index) => index >= from && level === "1");
    return told.slice(from, end < 0 ? undefined : end).map(([, name]) => name?.trim() ?? "");
  }

  /** What a webview shows, such as the page of a rule. */
  get webview(): FrameLocator {
    return this.page.frameLocator("iframe.webview.ready").first().frameLocator("#active-frame");
  }

  /** The lines on the screen that hold some words. */
  lines(words: string | RegExp): Locator {
    return this.editor.locator(".view-line", { hasText: words });
  }

  /** What stands above a line and can be chosen. */
  lens(words: string): Locator {
    return this.page.locator(".codelens-decoration a", { hasText: words }).first();
  }

  /** The words that stand beside lines and belong to no text, once they hold some words. */
  async beside(words: RegExp): Promise<string> {
    const find = `[...document.querySelectorAll(".view-line span")].map((span) => getComputedStyle(span, "::after").content)`;
    const found = await this.page.waitForFunction(
      `${find}.find((content) => ${words}.test(content.replaceAll("\u00a0", " ")))`,
    );
    return String(await found.jsonValue()).replaceAll("\u00a0", " ");
  }

  /** By what the line of a run is told from others: its background or its border. */
  async looksOfRunLine(): Promise<string> {
    const looks =
      await this.page.evaluate(`[...document.querySelectorAll('.view-overlays .cdr[class*="ced-"]')].map((line) => {
      const { backgroundColor, borderTopWidth, borderTopColor } = getComputedStyle(line);
      const isSeen = (colour) => !/, 0\\)$|transparent/.test(colour);
      return [isSeen(backgroundColor) && backgroundColor, borderTopWidth !== "0px" && isSeen(borderTopColor) && borderTopColor]
        .filter(Boolean).join(" ");
    }).find((look) => look !== "") ?? "none"`);
    return String(looks);
  }

  /** What the editor says in a corner. */
  notification(words: string | RegExp): Locator {
    return this.page.locator(".notification-toast", { hasText: words }).first();
  }

  statusItem(words: string | RegExp): Locator {
    return this.page.locator(".statusbar-item", { hasText: words }).first();
  }

  /** The whole text of the editor in front, as it is copied. */
  async text(): Promise<string> {
    await this.editor.locator(".view-line").first().click();
    await this.page.keyboard.press("Control+a");
    await this.page.keyboard.press("Control+c");
    return this.page.evaluate("navigator.clipboard.readText()");
  }

  async picture(name: string): Promise<void> {
    if (PICTURES !== undefined) await this.#take(join(PICTURES, `${this.#pictures}${name}.png`));
  }

  /** A picture of what can be seen now that a test has failed; gives where it is. */
  async pictureOfFailure(): Promise<string> {
    const path = join(
      PICTURES ?? join(tmpdir(), "limbwright-pictures"),
      `${this.#pictures}where-a-test-failed.png`,
    );
    await this.#take(path);
    return path;
  }

  async #take(path: string): Promise<void> {
    mkdirSync(dirname(path), { recursive: true });
    await this.page.screenshot({ path });
  }

  /** The same in windows of these widths. */
  async pictures(name: string, widths: readonly number[]): Promise<void> {
    if (PICTURES === undefined) return;
    const before = this.page.viewportSize();
    for (const width of widths) {
      await this.page.setViewportSize({ width, height: 900 });
      await this.picture(`${name}-${width}`);
    }
    if (before) await this.page.setViewportSize(before);
  }

  /** Nothing went wrong in the page itself since it was asked last. */
  expectNoFaults(): void {
    expect(this.#faults.splice(0)).toEqual([]);
  }
}
