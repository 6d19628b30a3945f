import { expect, test } from "vitest";
import { inWorkbench, placeOf, siteWith } from "./example-workbench.ts";
import { EARLY, OPEN_PREVIEW, previewIn } from "./in-the-editor.ts";

test.each([
  ["Default Light Modern", "vs"],
  ["Default Dark Modern", "vs-dark"],
  ["Default High Contrast", "hc-black"],
  ["Default High Contrast Light", "hc-light"],
])("a finding and the run that shows it can be seen in %s", { timeout: 120_000 }, async (theme, kind) => {
  const settings = { "workbench.colorTheme": theme };
  await inWorkbench({ files: siteWith(EARLY), open: [EARLY], settings }, async (workbench) => {
    await workbench.page.locator(`.monaco-workbench.${kind}`).waitFor();
    await workbench.statusItem("1 unsafe").waitFor();
    await workbench.goTo(...placeOf(EARLY, "deflate all for"));
    await workbench.command("Limbwright: Step Through the Run That Breaks a Rule");
    await workbench.beside(/1 of \d+/);
    await workbench.page.keyboard.press("F8");
    await workbench.page.keyboard.press("F8");
    await workbench.problems();
    await workbench.command(OPEN_PREVIEW);
    await previewIn(workbench.page).locator(".standing", { hasText: "Broken: 1 unsafe" }).waitFor();
    await workbench.pictures(`run-in-${kind}`, [1280, 1920]);
    expect(await workbench.looksOfRunLine()).not.toBe("none");
  });
});

test("the walkthrough opens an example with its mistake underlined", { timeout: 120_000 }, async () => {
  await inWorkbench(
    { files: siteWith(), open: [] },
    async (workbench) => {
      const { page } = workbench;
      await workbench.command("Welcome: Open Walkthrough...");
      await workbench.answer("Write your first protocol");
      await page.getByText("Open an example with a mistake").first().waitFor();
      await workbench.picture("walkthrough");
      await page.locator(".getting-started-step .monaco-button", { hasText: "Open the example" }).click();
      await workbench.statusItem("first-protocol: 1 unsafe").waitFor();
      await workbench.picture("walkthrough-example");
      expect((await workbench.problems()).join("\n")).toContain("dose-over-maximum");
    },
    { fresh: true },
  );
});
