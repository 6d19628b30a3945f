import { expect, test } from "vitest";
import { ruleFileOf } from "../replay/replayed.ts";
import { inWorkbench, siteWith } from "./example-workbench.ts";
import type { Workbench } from "./workbench.ts";

const WRIST = "protocols/wrist-reduction.limb";
const EARLIER = "approved/wrist-reduction.limb";

/** Chooses the first file whose path has these words, once the files are offered. */
async function chosen({ page }: Workbench, path: string): Promise<void> {
  const row = page.locator(".quick-input-list .monaco-list-row.focused");
  await page.getByPlaceholder("The file or rule file that counts as the earlier version").fill(path);
  await row
    .getByText(path.split("/").at(-1) ?? path)
    .first()
    .waitFor();
  await page.keyboard.press("Enter");
}

test("a text is compared with a chosen file; each change leads to its lines in both", {
  timeout: 120_000,
}, async () => {
  const site = siteWith(WRIST);
  const text = site[WRIST] ?? "";
  const title = 'Wrist <script>document.title = "broken"</script>';
  const now = text
    .replace("up to 200 mg", "up to 250 mg")
    .replace("Wrist fracture reduction under IVRA", title.replaceAll('"', "'"));
  const files = { ...site, [EARLIER]: text, [WRIST]: now };
  await inWorkbench({ files, open: [WRIST] }, async (workbench) => {
    await workbench.statusItem(/wrist-reduction/).waitFor();
    await workbench.command("Limbwright: Compare with a File");
    await chosen(workbench, "approved/wrist");
    const page = workbench.webview;
    await page.getByText("is 3 mg/kg up to 250 mg now; before, 3 mg/kg up to 200 mg").waitFor();
    expect(await page.locator("h2").first().textContent()).toContain("<script>");
    await workbench.picture("comparison-with-file");
    const before = page.locator(`[data-side="before"][data-file="${EARLIER}"]`).first();
    const line = Number(await before.getAttribute("data-line"));
    expect(text.split("\n")[line - 1]).toContain("3 mg/kg up to 200 mg");
    await before.press("Enter");
    await workbench.page.locator(".tab.active", { hasText: "wrist-reduction.limb" }).first().waitFor();
    await workbench.lines("3 mg/kg up to 200 mg").first().waitFor();
  });
});

test("a text is compared with the rule file that was approved; what is no rule file is refused", {
  timeout: 120_000,
}, async () => {
  const site = siteWith(WRIST);
  const now = (site[WRIST] ?? "").replace("up to 200 mg", "up to 250 mg");
  const approved = { "approved/wrist.json": ruleFileOf("wrist-reduction"), "approved/other.json": "{}" };
  await inWorkbench({ files: { ...site, [WRIST]: now, ...approved }, open: [WRIST] }, async (workbench) => {
    await workbench.statusItem(/wrist-reduction/).waitFor();
    await workbench.command("Limbwright: Compare with a File");
    await chosen(workbench, "approved/other");
    await workbench.page
      .getByText("approved/other.json is no rule file that can be compared")
      .first()
      .waitFor();
    await workbench.command("Limbwright: Compare with a File");
    await chosen(workbench, "approved/wrist");
    const page = workbench.webview;
    await page.getByText("is 3 mg/kg up to 250 mg now; before, 3 mg/kg up to 200 mg").waitFor();
    await workbench.picture("comparison-with-rule-file");
    expect(await page.locator('[data-side="before"]').count()).toBe(0);
    await page.locator('[data-side="now"]').first().press("Enter");
    await workbench.lines("3 mg/kg up to 250 mg").first().waitFor();
  });
});
