import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { openBrowser } from "../server/open-browser.ts";
import { inWorkbench, placeOf, siteWith } from "./example-workbench.ts";

const WAIT = { timeout: 120_000 };
const EARLY = "flawed/let-down-early.limb";
const WRIST = "protocols/wrist-reduction.limb";

let browser: Browser;

beforeAll(async () => {
  browser = await openBrowser();
}, 60_000);

afterAll(() => browser?.close());

test("a finding is underlined, told on hover, and repaired where one asks for it", WAIT, async () => {
  await inWorkbench(browser, { files: siteWith(EARLY), open: [EARLY] }, async (workbench) => {
    const { page } = workbench;
    await workbench.statusItem("let-down-early: 1 unsafe").click();
    await page.locator(".markers-panel").waitFor();
    expect((await workbench.problems()).join("\n")).toContain("early-release");

    await workbench.goTo(...placeOf(EARLY, "deflate all for"));
    await page.locator(".squiggly-error").first().waitFor();
    await workbench.picture("finding");
    await page.keyboard.press("Control+k");
    await page.keyboard.press("Control+i");
    const hover = page.locator(".monaco-hover:visible", { hasText: "too early" }).first();
    await hover.waitFor();
    expect(await hover.textContent()).toContain("early-release");
    await workbench.picture("hover");

    await page.keyboard.press("Escape");
    await page.keyboard.press("Control+.");
    const fixes = page.locator(".action-widget .monaco-list-row.action");
    await fixes.first().waitFor();
    await workbench.picture("quick-fixes");
    expect(await fixes.allInnerTexts()).toEqual([
      "Write wait for hold before it (needs a look)",
      "Step through the run that breaks early-release",
    ]);
    await page.keyboard.press("Enter");
    await workbench.lines("wait for hold").first().waitFor();
    await workbench.statusItem("rules hold").waitFor();
    await workbench.picture("repaired");
  });
});

test("words are completed, names renamed in all files, and the layout mended", WAIT, async () => {
  const files = siteWith(WRIST);
  const begin = { files, open: ["routines.limb", WRIST] };
  await inWorkbench(browser, begin, async (workbench) => {
    const { page } = workbench;
    await workbench.statusItem("rules hold").waitFor();

    await workbench.goTo(...placeOf(WRIST, "staged-release"));
    await page.keyboard.press("F2");
    const name = page.locator(".rename-box input");
    await name.waitFor();
    await name.fill("slow-release");
    await page.keyboard.press("Enter");
    await workbench.lines("do slow-release").waitFor();
    await page.locator('.tab[data-resource-name="routines.limb"]').click();
    await workbench.lines("routine slow-release").waitFor();

    await page.locator('.tab[data-resource-name="wrist-reduction.limb"]').click();
    await workbench.goTo(...placeOf(WRIST, "  steps {"));
    await page.keyboard.type("\n");
    await page.keyboard.press("ArrowUp");
    await page.keyboard.type("  requ");
    const offered = page.locator(".suggest-widget .monaco-list-row");
    await offered.filter({ hasText: "require" }).first().waitFor();
    await workbench.picture("completion");
    await page.keyboard.press("Enter");
    await workbench.lines('require "What must be so"').waitFor();
    await page.keyboard.press("Escape");

    await workbench.goTo(...placeOf(WRIST, "version"));
    await page.keyboard.type("    ");
    await workbench.command("Format Document");
    const mended = workbench.lines(/^\s{2}version/);
    await mended.waitFor();
    expect(await mended.count()).toBe(1);
  });
});
