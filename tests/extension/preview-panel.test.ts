import type { Browser, FrameLocator, Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { openBrowser } from "../server/open-browser.ts";
import { inWorkbench, placeOf, siteWith } from "./example-workbench.ts";

const EARLY = "flawed/let-down-early.limb";
const VOLUME = "flawed/fixed-volume.limb";
const OPEN = "Limbwright: Open Preview Beside the Editor";

let browser: Browser;

beforeAll(async () => {
  browser = await openBrowser();
}, 60_000);

afterAll(() => browser?.close());

function previewIn(page: Page): FrameLocator {
  return page.frameLocator("iframe.webview.ready").frameLocator("iframe#active-frame");
}

test("the preview follows text, proof and cursor, and a mark opens its line", {
  timeout: 180_000,
}, async () => {
  await inWorkbench(browser, { files: siteWith(EARLY), open: [EARLY] }, async (workbench) => {
    await workbench.statusItem("1 unsafe").waitFor();
    await workbench.command(OPEN);
    const preview = previewIn(workbench.page);
    await preview.locator(".standing", { hasText: "Broken: 1 unsafe, 1 not decided." }).waitFor();
    await workbench.picture("preview-panel");
    await preview.locator("#run .picture rect.in-limb").click();
    await workbench.page
      .locator(".statusbar-item", { hasText: `Ln ${placeOf(EARLY, "inject local")[0]},` })
      .waitFor();
    await preview.locator(".paper li.lit").waitFor();
    await workbench.goTo(placeOf(EARLY, "deflate all for")[0]);
    await preview.locator("#findings .place.lit").waitFor();
    await workbench.picture("preview-panel-cursor");
    await workbench.page.keyboard.press("Home");
    await workbench.page.keyboard.type("wait for hold\n      ");
    await preview.locator(".standing", { hasText: "Holds" }).waitFor();
    await workbench.picture("preview-panel-mended");
    await preview.locator("#patient-weight").fill("61");
    await preview.locator(".figures", { hasText: "draw up 36 mL" }).waitFor();
    await workbench.picture("preview-panel-patient");
    expect(await preview.locator("#run figcaption").textContent()).toBe("The earliest release");
  });
});

test("a mark in a file that the protocol uses opens that, and the protocol stays shown", {
  timeout: 180_000,
}, async () => {
  await inWorkbench(browser, { files: siteWith(VOLUME), open: [VOLUME] }, async (workbench) => {
    await workbench.statusItem("1 unsafe").waitFor();
    await workbench.command(OPEN);
    const preview = previewIn(workbench.page);
    await preview.locator("#findings .related .place", { hasText: "formulary.limb" }).click();
    await workbench.page.locator('.tab.active[data-resource-name="formulary.limb"]').waitFor();
    await preview.locator("#findings .related .place.lit").waitFor();
    await workbench.page.keyboard.press("Home");
    await workbench.page.keyboard.type("// ");
    await preview
      .locator(".standing", { hasText: "Not known" })
      .or(preview.locator(".standing", { hasText: "Broken" }))
      .waitFor();
    expect(await preview.locator("h1").first().textContent()).toBe("Draft: the same syringe for everybody");
    await workbench.picture("preview-panel-formulary");
  });
});
