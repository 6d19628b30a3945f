import { expect, test } from "vitest";
import { inWorkbench } from "./example-workbench.ts";
import { CASES, runsTheScenarios, WITH_CASES } from "./in-the-editor.ts";

const WAIT = { timeout: 120_000 };

test(
  "scenarios run in the test view: passed, failed at their line, and not decided as an error",
  WAIT,
  async () => {
    await inWorkbench({ files: WITH_CASES, open: [CASES] }, async (workbench) => {
      expect(await runsTheScenarios(workbench)).toBe(1);
    });
  },
);

test("the lens above a scenario runs that one", WAIT, async () => {
  await inWorkbench({ files: WITH_CASES, open: [CASES] }, async (workbench) => {
    const { page } = workbench;
    await page.locator(".codelens-decoration a", { hasText: "run this scenario" }).nth(1).click();
    await page.locator(".codicon-testing-failed-icon").first().waitFor();
    await workbench.picture("one-scenario");
    expect(await page.locator(".margin-view-overlays .codicon-testing-passed-icon").count()).toBe(0);
  });
});
