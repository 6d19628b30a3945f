import type { FrameLocator, Page } from "playwright-core";
import { expect } from "vitest";
import { placeOf, siteWith } from "./example-workbench.ts";
import type { Workbench } from "./workbench.ts";

export const EARLY = "flawed/let-down-early.limb";
export const WRIST = "protocols/wrist-reduction.limb";
export const CASES = "scenarios/wrist-cases.limb";
export const OPEN_PREVIEW = "Limbwright: Open Preview Beside the Editor";

/** The cases of the wrist protocol, one of them expecting too much and one that cannot be run. */
export const WITH_CASES: Readonly<Record<string, string>> = {
  ...siteWith(WRIST),
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

/** With the draft that lets the cuff down early in front: its finding is listed, underlined, and told on hover. */
async function showsTheFinding(workbench: Workbench): Promise<void> {
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
}

/** The same, and it is repaired. Gives the fixes. */
export async function mendsTheFinding(workbench: Workbench): Promise<string[]> {
  const { page } = workbench;
  await showsTheFinding(workbench);
  await page.keyboard.press("Control+.");
  const fixes = page.locator(".action-widget .monaco-list-row.action");
  await fixes.first().waitFor();
  await workbench.picture("quick-fixes");
  const offered = await fixes.allInnerTexts();
  await page.keyboard.press("Enter");
  await workbench.lines("wait for hold").first().waitFor();
  await workbench.statusItem("rules hold").waitFor();
  await workbench.picture("repaired");
  return offered;
}

/** With the wrist protocol in front and the routines open: words, names and the layout. Gives how many lines say the version. */
export async function writesInTheProtocol(workbench: Workbench): Promise<number> {
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
  return mended.count();
}

/** What the preview shows. */
export function previewIn(page: Page): FrameLocator {
  return page.frameLocator("iframe.webview.ready").frameLocator("iframe#active-frame");
}

/** With the draft that lets the cuff down early in front: the preview follows it, and leads back to its lines. Gives the run it shows. */
export async function followsWithThePreview(workbench: Workbench): Promise<string | null> {
  await workbench.statusItem("1 unsafe").waitFor();
  await workbench.command(OPEN_PREVIEW);
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
  // The line is made first: Enter behind the text would take whatever completion has come up by then.
  await workbench.page.keyboard.press("Enter");
  await workbench.page.keyboard.press("ArrowUp");
  await workbench.page.keyboard.type("wait for hold");
  await preview.locator(".standing", { hasText: "Holds" }).waitFor();
  await workbench.picture("preview-panel-mended");
  await preview.locator("#patient-weight").fill("61");
  await preview.locator(".figures", { hasText: "draw up 36 mL" }).waitFor();
  await workbench.picture("preview-panel-patient");
  return preview.locator("#run figcaption").textContent();
}

/** Files for all that is tried in one folder. */
export const WHOLE_SITE: Readonly<Record<string, string>> = { ...WITH_CASES, ...siteWith(EARLY) };

/**
 * In a folder that is not trusted: all that shows something works, and what writes is refused. `written` tells what is in the
 * folder, and is asked after each step. Gives the refusals.
 */
export async function worksUntrusted<Files>(
  workbench: Workbench,
  written: () => Files | Promise<Files>,
): Promise<number> {
  const { page } = workbench;
  await workbench.openFile(EARLY);
  await workbench.statusItem("1 unsafe").waitFor();
  const before = await written();
  const nothingWritten = async (after: string) => expect(await written(), after).toEqual(before);

  await showsTheFinding(workbench);
  await nothingWritten("the finding was shown");

  await workbench.command("Limbwright: Step Through the Run That Breaks a Rule");
  await workbench.beside(/1 of \d+ · 0:00/);
  await page.keyboard.press("F8");
  await workbench.statusItem(/2 of \d+/).waitFor();
  await page.keyboard.press("Escape");
  await nothingWritten("the run was stepped through");

  await workbench.command(OPEN_PREVIEW);
  await previewIn(page).locator(".standing", { hasText: "Broken: 1 unsafe" }).waitFor();
  await workbench.picture("untrusted-preview");
  await nothingWritten("the preview was opened");

  for (const title of WRITING) {
    await workbench.command(`Limbwright: ${title}`);
    const refusal = workbench.notification("Nothing was written: this folder is not trusted");
    await refusal.waitFor();
    await workbench.picture("untrusted");
    await refusal.hover();
    await refusal.locator(".codicon-notifications-clear").click();
    await nothingWritten(title);
  }

  // Before tests are run the editor itself asks for trust, whatever they do.
  await workbench.openFile(CASES);
  // The editor asks only where it has something to run.
  await page.locator(".testing-run-glyph").first().waitFor();
  await workbench.command("Test: Run All Tests");
  await page.getByText("Running tests may execute code").waitFor();
  await workbench.picture("untrusted-scenarios");
  await page.locator(".monaco-dialog-box").getByText("Cancel").click();
  await nothingWritten("the scenarios were not run");
  return WRITING.length;
}

const WRITING = ["Compile to a Rule File", "Save the Bedside Sheet", "New Protocol from Template"];

/** With the cases in front: one passes, one fails, and one is not decided, which is an error. Gives how many passed. */
export async function runsTheScenarios(workbench: Workbench): Promise<number> {
  const { page } = workbench;
  await workbench.lens("run this scenario").waitFor();
  await workbench.command("Testing: Focus on Test Explorer View");
  const rows = page.locator(".test-explorer .monaco-list-row");
  const row = (state: string, name: string) =>
    rows.filter({ hasText: name }).filter({ has: page.locator(`.codicon-testing-${state}-icon`) });
  // The editor runs what is listed, so nothing is run before. It opens the file's row by itself once a test of it fails: until
  // then the row stays closed, and can be opened by hand.
  await page.locator(".test-explorer .monaco-tl-twistie.collapsed").click();
  await row("unset", "The dose").waitFor();
  await workbench.command("Test: Run All Tests");
  await row("error", "Nobody it covers").waitFor();
  await row("failed", "Too much").waitFor();
  await row("passed", "The dose").waitFor();
  await workbench.picture("scenarios");
  return rows.filter({ has: page.locator(".codicon-testing-passed-icon") }).count();
}

/** The fixes for the finding of that draft. */
export const FIXES = [
  "Write wait for hold before it (needs a look)",
  "Step through the run that breaks early-release",
];
