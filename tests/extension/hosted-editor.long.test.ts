import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { readRuleFile } from "@limbwright/shared/rule-file";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, type TestContext, test } from "vitest";
import { openBrowser } from "../server/open-browser.ts";
import { placeOf, siteWith } from "./example-workbench.ts";
import { HostedEditor, whyNoEditor } from "./hosted-editor.ts";
import { CASES, EARLY, followsWithThePreview, runsTheScenarios, WITH_CASES, WRIST } from "./in-the-editor.ts";
import { Workbench } from "./workbench.ts";

const FILES = { ...WITH_CASES, ...siteWith(EARLY, "protocols/ankle-reduction.limb") };
const WAIT = { timeout: 300_000 };

let missing: string | undefined;
let browser: Browser;
let editor: HostedEditor;

beforeAll(async () => {
  missing = whyNoEditor();
  if (missing !== undefined) return;
  browser = await openBrowser();
  editor = new HostedEditor(FILES);
  editor.commit();
}, 600_000);

afterAll(async () => {
  await browser?.close();
  editor?.end();
});

async function opened(...options: string[]): Promise<Workbench> {
  return Workbench.open(browser, await editor.start(...options), "hosted-");
}

/** Says why, where the editor cannot be had on this machine. */
function skipWithoutEditor(context: TestContext): void {
  context.skip(missing !== undefined, missing);
}

test("the packed extension proves, steps and compiles with the server in Node", WAIT, async (context) => {
  skipWithoutEditor(context);
  const workbench = await opened("--disable-workspace-trust");
  await workbench.openFile(EARLY);
  await workbench.statusItem("let-down-early: 1 unsafe").waitFor();
  await workbench.goTo(...placeOf(EARLY, "deflate all for"));
  await workbench.page.locator(".squiggly-error").first().waitFor();
  await workbench.command("Limbwright: Step Through the Run That Breaks a Rule");
  await workbench.beside(/1 of \d+ · 0:00/);
  await workbench.picture("run");
  await workbench.page.keyboard.press("Escape");

  await workbench.openFile(WRIST);
  await workbench.statusItem("rules hold").waitFor();
  await workbench.command("Limbwright: Compile to a Rule File");
  await workbench.notification("Wrote protocols/wrist-reduction.json").waitFor();
  const written = readFileSync(join(editor.workspace, "protocols/wrist-reduction.json"), "utf8");
  expect(readRuleFile(written).kind).toBe("read");
  workbench.expectNoFaults();
  await workbench.close();
});

test("a text is compared with the last commit, and each change leads to its lines", WAIT, async (context) => {
  skipWithoutEditor(context);
  const text = FILES[WRIST] ?? "";
  editor.write(WRIST, text.replace("amount 3 mg/kg up to 200 mg", "amount 40 mL"));
  const workbench = await opened("--disable-workspace-trust");
  await workbench.openFile(WRIST);
  await workbench.statusItem("1 unsafe").waitFor();
  await workbench.command("Limbwright: Compare with the Last Commit");
  const page = workbench.webview;
  await page.getByText("is 40 mL now; before, 3 mg/kg up to 200 mg").waitFor();
  await workbench.picture("comparison");
  expect(await page.locator("h1").textContent()).toContain("in the last commit");
  await page.locator('[data-side="before"]').first().click();
  await workbench.page.locator(".tab.active", { hasText: "wrist-reduction" }).first().waitFor();
  await workbench.page.locator(".tab", { hasText: "last commit ↔ now" }).click();
  await workbench.page.locator(".diffEditor, .monaco-diff-editor").first().waitFor();
  await workbench.picture("difference");
  await workbench.close();
  editor.write(WRIST, text);
});

test("in a folder that is not trusted nothing is written to the disk", WAIT, async (context) => {
  skipWithoutEditor(context);
  const workbench = await opened();
  await workbench.page.getByText("No, I don't trust the authors").click();
  await workbench.openFile("protocols/ankle-reduction.limb");
  await workbench.statusItem(/ankle-reduction: .*(accepted|hold|decided)/).waitFor();
  await workbench.command("Limbwright: Compile to a Rule File");
  await workbench.notification("Nothing was written: this folder is not trusted").waitFor();
  await workbench.picture("untrusted");
  expect(existsSync(join(editor.workspace, "protocols/ankle-reduction.json"))).toBe(false);
  await workbench.close();
});

test("scenarios run and the preview follows with the server in Node", WAIT, async (context) => {
  skipWithoutEditor(context);
  const workbench = await opened("--disable-workspace-trust");
  await workbench.openFile(CASES);
  expect(await runsTheScenarios(workbench)).toBe(1);
  await workbench.command("View: Show Explorer");
  await workbench.openFile(EARLY);
  expect(await followsWithThePreview(workbench)).toBe("The earliest release");
  workbench.expectNoFaults();
  await workbench.close();
});
