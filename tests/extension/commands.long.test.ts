import { readRuleFile } from "@limbwright/shared/rule-file";
import { expect, test } from "vitest";
import { inWorkbench, placeOf, siteWith } from "./example-workbench.ts";

const WAIT = { timeout: 120_000 };
const WRIST = "protocols/wrist-reduction.limb";
const EARLY = "flawed/let-down-early.limb";

test("a protocol is compiled to a rule file beside it, and saved as a sheet", WAIT, async () => {
  await inWorkbench({ files: siteWith(WRIST), open: [WRIST] }, async (workbench) => {
    await workbench.statusItem("rules hold").waitFor();
    await workbench.command("Limbwright: Compile to a Rule File");
    const told = workbench.notification("Wrote protocols/wrist-reduction.json");
    await told.waitFor();
    await workbench.picture("compiled");
    await workbench.openFile("protocols/wrist-reduction.json");
    await workbench.editor.locator(".view-line").first().waitFor();
    expect(readRuleFile(await workbench.text()).kind).toBe("read");

    await workbench.openFile(WRIST);
    await workbench.command("Limbwright: Save the Bedside Sheet");
    await workbench.notification("Wrote protocols/wrist-reduction.html").waitFor();
    await workbench.openFile("protocols/wrist-reduction.html");
    await workbench.lines("<!doctype html>").waitFor();
  });
});

test("nothing is written of an unsafe protocol, unless as a draft", WAIT, async () => {
  await inWorkbench({ files: siteWith(EARLY), open: [EARLY] }, async (workbench) => {
    await workbench.statusItem("1 unsafe").waitFor();
    await workbench.command("Limbwright: Compile to a Rule File");
    const refusal = workbench.notification("is not written");
    await refusal.waitFor();
    await workbench.picture("refused");
    expect(await workbench.files("flawed")).toEqual(["let-down-early.limb"]);

    await refusal.getByText("Write a draft").click();
    await workbench.notification("Wrote flawed/let-down-early.json").waitFor();
    await workbench.openFile("flawed/let-down-early.json");
    expect(JSON.parse(await workbench.text())).toMatchObject({ use: "draft" });
  });
});

test(
  "a run that breaks a rule is stepped through, forward and back, each step at its line",
  WAIT,
  async () => {
    await inWorkbench({ files: siteWith(EARLY), open: [EARLY] }, async (workbench) => {
      const { page } = workbench;
      await workbench.statusItem("1 unsafe").waitFor();
      await workbench.goTo(...placeOf(EARLY, "deflate all for"));
      await workbench.command("Limbwright: Step Through the Run That Breaks a Rule");
      await workbench.statusItem(/1 of \d+, at 0:00: apply cuffs/).waitFor();
      await workbench.beside(/1 of \d+ · 0:00/);
      await workbench.statusItem(`Ln ${placeOf(EARLY, "apply cuffs")[0]}`).waitFor();
      await workbench.picture("run-first-step");

      await page.keyboard.press("F8");
      await page.keyboard.press("F8");
      await workbench.statusItem(/3 of \d+, at 0:00: task/).waitFor();
      await workbench.statusItem(`Ln ${placeOf(EARLY, "task pause")[0]}`).waitFor();
      await page.keyboard.press("Shift+F8");
      await workbench.statusItem(/2 of \d+/).waitFor();
      const words = await workbench.statusItem(/2 of \d+/).textContent();
      const count = Number(/2 of (\d+)/.exec(words ?? "")?.[1]);
      for (let step = 2; step < count + 2; step += 1) await page.keyboard.press("F8");
      const last = await workbench.beside(new RegExp(`${count} of ${count} · 12:30`));
      expect(last).toContain("20:00 too early");
      await workbench.statusItem(`Ln ${placeOf(EARLY, "deflate all for")[0]}`).waitFor();
      await workbench.picture("run-last-step");

      await page.keyboard.press("Escape");
      await workbench.statusItem(/of \d+, at/).waitFor({ state: "detached" });
    });
  },
);

test("a new protocol starts from a template, with a formulary where there is none", WAIT, async () => {
  await inWorkbench({ files: { "notes/empty.limb": "" }, open: [] }, async (workbench) => {
    await workbench.command("Limbwright: New Protocol from Template");
    await workbench.answer("elbow-reduction");
    await workbench.answer("upper arm");
    await workbench.lines('protocol elbow-reduction "Elbow reduction"').waitFor();
    // The words of the template are its author's to write.
    await workbench.statusItem("1 advice").waitFor();
    await workbench.picture("new-protocol");
    await workbench.openFile("formulary.limb");
    await workbench.lines("agent lidocaine").waitFor();
    expect(await workbench.text()).toContain("agent lipid-emulsion");
  });
});

test("the page of a rule is a click away from what it finds", WAIT, async () => {
  await inWorkbench({ files: siteWith(EARLY), open: [EARLY] }, async (workbench) => {
    await workbench.statusItem("1 unsafe").waitFor();
    await workbench.problems();
    await workbench.page.locator(".markers-panel a", { hasText: "early-release" }).first().click();
    const page = workbench.webview;
    await page.getByText("Why it matters").first().waitFor();
    expect(await page.locator("body").textContent()).toContain("not a medical device");
    expect(await page.getByText("Some content has been disabled").count()).toBe(0);
    await workbench.picture("rule-page");
  });
});

test("where the editor has no Git, a comparison says that nothing was compared", WAIT, async () => {
  await inWorkbench({ files: siteWith(WRIST), open: [WRIST] }, async (workbench) => {
    await workbench.statusItem("rules hold").waitFor();
    await workbench.command("Limbwright: Compare with the Last Commit");
    const told = workbench.notification("Nothing was compared");
    await told.waitFor();
    expect(await told.textContent()).toContain("this editor has no Git");
  });
});

test("a finding is accepted only with a reason, a role and a day", WAIT, async () => {
  const until = `${new Date().getFullYear() + 1}-01-31`;
  const accepted = {
    ...siteWith(WRIST),
    [WRIST]: (siteWith(WRIST)[WRIST] ?? "").replace("    confirm no pulse\n", ""),
  };
  await inWorkbench({ files: accepted, open: [WRIST] }, async (workbench) => {
    const { page } = workbench;
    await workbench.statusItem("1 doubtful").waitFor();
    const [line, column] = placeOf(WRIST, "inject local");
    await workbench.goTo(line - 1, column);
    await page.locator(".squiggly-warning").first().waitFor();
    await page.keyboard.press("Control+.");
    await page
      .locator(".action-widget .monaco-list-row.action")
      .filter({ hasText: "Leave it as it is" })
      .waitFor();
    await workbench.picture("accept");
    await page.keyboard.press("ArrowDown");
    await page.keyboard.press("ArrowDown");
    await page.keyboard.press("Enter");
    const input = page.locator(".quick-input-widget input.input");
    await input.waitFor();
    await page.keyboard.press("Enter");
    await page.getByText("A finding is accepted with a reason").waitFor();
    await workbench.answer("Own audit");
    await page.getByText("Which role decides that?").waitFor();
    await workbench.answer("Clinical governance");
    await page.getByText("Until when does it hold?").waitFor();
    await workbench.answer(until);
    await workbench.statusItem("rules hold").or(workbench.statusItem("accepted")).waitFor();
    await workbench.openFile("local-rules.limb");
    expect(await workbench.text()).toContain(`by "Clinical governance" until ${until}`);
  });
});
