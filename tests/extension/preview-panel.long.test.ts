import { expect, test } from "vitest";
import { inWorkbench, placeOf, siteWith } from "./example-workbench.ts";
import { EARLY, followsWithThePreview, OPEN_PREVIEW, previewIn } from "./in-the-editor.ts";

const VOLUME = "flawed/fixed-volume.limb";

test("the preview follows text, proof and cursor, and a mark opens its line", {
  timeout: 180_000,
}, async () => {
  await inWorkbench({ files: siteWith(EARLY), open: [EARLY] }, async (workbench) => {
    expect(await followsWithThePreview(workbench)).toBe("The earliest release");
  });
});

test("a mark in a file that the protocol uses opens that, and the protocol stays shown", {
  timeout: 180_000,
}, async () => {
  await inWorkbench({ files: siteWith(VOLUME), open: [VOLUME] }, async (workbench) => {
    await workbench.statusItem("1 unsafe").waitFor();
    await workbench.command(OPEN_PREVIEW);
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

test("the preview comes back after a reload of the window, without what was typed of a patient", {
  timeout: 180_000,
}, async () => {
  await inWorkbench({ files: siteWith(EARLY), open: [EARLY] }, async (workbench) => {
    await workbench.statusItem("1 unsafe").waitFor();
    await workbench.command(OPEN_PREVIEW);
    const preview = previewIn(workbench.page);
    const standing = preview.locator(".standing", { hasText: "Broken: 1 unsafe, 1 not decided." });
    await standing.waitFor();
    await preview.locator("#patient-weight").fill("61");
    await preview.locator(".figures", { hasText: "draw up" }).waitFor();

    const loaded = workbench.page.waitForEvent("load");
    await workbench.command("Developer: Reload Window");
    await loaded;
    await standing.waitFor();
    expect(await workbench.page.locator(".tab", { hasText: "Preview:" }).count()).toBe(1);
    expect(await preview.locator("#patient-weight").inputValue()).toBe("");
    await workbench.page.locator('.tab[data-resource-name="let-down-early.limb"]').click();
    await workbench.goTo(placeOf(EARLY, "deflate all for")[0]);
    await preview.locator("#findings .place.lit").waitFor();
    await workbench.picture("preview-panel-reloaded");
  });
});
