import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { compileFile, Site } from "@limbwright/language";
import type { Locator, Page } from "playwright-core";
import { ON } from "../language/rule-file/compiled.ts";
import { exampleTexts } from "../language/rule-file/example-site.ts";
import { openBrowser } from "../server/open-browser.ts";

const SCRIPT = join(import.meta.dirname, "../../.development/rehearsal.mjs");

/** The text of the rule file of an example protocol. */
export function exampleRuleFile(name: string, change: (text: string) => string = (text) => text): string {
  const texts = exampleTexts();
  const file = `protocols/${name}.limb`;
  const site = new Site((of) => (of === file ? change(texts.get(of) ?? "") : texts.get(of)));
  const [compiled] = compileFile(site, file, { on: ON }) ?? [];
  if (compiled?.kind !== "written") throw new Error(`${file} is not compiled`);
  return compiled.text;
}

/** The rehearsal page as it is written, opened from a file in a real browser without a network. */
export class RehearsalPage {
  readonly page: Page;
  /** What the browser complains of, asks for or pops up by itself. */
  readonly heard: string[] = [];
  readonly #folder: string;

  private constructor(page: Page, folder: string) {
    this.#folder = folder;
    this.page = page;
    page.on("console", (message) => this.heard.push(message.text()));
    page.on("pageerror", (error) => this.heard.push(error.message));
    page.on("dialog", (dialog) => {
      this.heard.push(`dialog ${dialog.message()}`);
      void dialog.dismiss();
    });
    page.on("request", (request) => {
      if (request.url() !== this.url) this.heard.push(`asks for ${request.url()}`);
    });
  }

  get url(): string {
    return pathToFileURL(join(this.#folder, "rehearsal.html")).href;
  }

  static async open(ruleFiles: readonly string[]): Promise<RehearsalPage> {
    const folder = mkdtempSync(join(tmpdir(), "limb-rehearsal-"));
    const named = ruleFiles.map((text, at) => {
      const file = join(folder, `${at}.json`);
      writeFileSync(file, text);
      return file;
    });
    execFileSync(process.execPath, [SCRIPT, "--out", join(folder, "rehearsal.html"), ...named]);
    const browser = await openBrowser();
    const context = await browser.newContext({ offline: true, viewport: { width: 1000, height: 900 } });
    return new RehearsalPage(await context.newPage(), folder);
  }

  /** The page from its beginning. */
  async afresh(): Promise<Page> {
    this.heard.length = 0;
    await this.page.goto(this.url);
    return this.page;
  }

  async close(): Promise<void> {
    await this.page.context().close();
    rmSync(this.#folder, { recursive: true });
  }

  async press(name: string | RegExp): Promise<void> {
    await this.page.getByRole("button", { name, exact: typeof name === "string" }).click();
  }

  /** An invented patient of 60 kg, 40 years, 130 mmHg and 30 cm, who has nothing that is contraindicated. */
  async enterPatient(): Promise<void> {
    const measures = {
      "Body weight": "60",
      Age: "40",
      "Systolic blood pressure": "130",
      "Limb circumference": "30",
    };
    for (const [label, value] of Object.entries(measures)) {
      await this.page.getByLabel(new RegExp(`^${label} in`)).fill(value);
    }
    for (const question of await this.page.getByRole("radiogroup").all())
      await question.getByLabel("no").check();
  }

  /** The sentences under a heading. */
  async under(heading: string): Promise<string> {
    return textOf(this.page.locator("section", { has: this.page.getByRole("heading", { name: heading }) }));
  }

  async answer(): Promise<string> {
    return textOf(this.page.locator(".answer"));
  }
}

export async function textOf(locator: Locator): Promise<string> {
  return (await locator.textContent()) ?? "";
}
