import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { openBrowser } from "../server/open-browser.ts";
import { inWorkbench, siteWith } from "./example-workbench.ts";

const WAIT = { timeout: 120_000 };
const CASES = "scenarios/wrist-reduction.limb";
const PROTOCOL = "protocols/wrist-reduction.limb";

let browser: Browser;

beforeAll(async () => {
  browser = await openBrowser();
}, 60_000);

afterAll(() => browser?.close());

/** The cases of the wrist protocol, one of them expecting too much and one that cannot be run. */
const FILES = {
  ...siteWith(PROTOCOL),
  [CASES]: `use "../protocols/wrist-reduction.limb"

scenario "The dose" for wrist-reduction {
  patient weight 60 kg, systolic 130 mmHg, age 40 years
  expect dose local is 180 mg
}

scenario "Too much" for wrist-reduction {
  patient weight 60 kg, systolic 130 mmHg, age 40 years
  expect dose local is 200 mg
}

scenario "Nobody it covers" for wrist-reduction {
  patient weight 30 kg, systolic 130 mmHg, age 40 years
  expect dose local is 90 mg
}
`,
};

test(
  "scenarios run in the test view: passed, failed at their line, and not decided as an error",
  WAIT,
  async () => {
    await inWorkbench(browser, { files: FILES, open: [CASES] }, async (workbench) => {
      const { page } = workbench;
      await workbench
        .lines("run this scenario")
        .first()
        .or(page.getByText("run this scenario").first())
        .waitFor();
      await workbench.command("Test: Run All Tests");
      await page.locator(".testing-run-glyph, .codicon-testing-failed-icon").first().waitFor();
      await workbench.command("Testing: Focus on Test Explorer View");
      const rows = page.locator(".test-explorer .monaco-list-row");
      const row = (state: string, name: string) =>
        rows.filter({ hasText: name }).filter({ has: page.locator(`.codicon-testing-${state}-icon`) });
      await row("error", "Nobody it covers").waitFor();
      await row("failed", "Too much").waitFor();
      await row("passed", "The dose").waitFor();
      await workbench.picture("scenarios");
      expect(await rows.filter({ has: page.locator(".codicon-testing-passed-icon") }).count()).toBe(1);
    });
  },
);

test("the lens above a scenario runs that one", WAIT, async () => {
  await inWorkbench(browser, { files: FILES, open: [CASES] }, async (workbench) => {
    const { page } = workbench;
    await page.locator(".codelens-decoration a", { hasText: "run this scenario" }).nth(1).click();
    await page.locator(".codicon-testing-failed-icon").first().waitFor();
    await workbench.picture("one-scenario");
    expect(await page.locator(".margin-view-overlays .codicon-testing-passed-icon").count()).toBe(0);
  });
});
