import { readRuleFile } from "@limbwright/shared/rule-file";
import { afterAll, beforeAll, expect, type TestContext, test } from "vitest";
import { someOf } from "../questions.ts";
import { placeOf } from "./example-workbench.ts";
import { HostedEditor, type HostedWorkspace, whyNoEditor } from "./hosted-editor.ts";
import {
  CASES,
  EARLY,
  FIXES,
  followsWithThePreview,
  mendsTheFinding,
  runsTheScenarios,
  WHOLE_SITE,
  WRIST,
  worksUntrusted,
  writesInTheProtocol,
} from "./in-the-editor.ts";
import { Workbench } from "./workbench.ts";

const WAIT = { timeout: 300_000 };
const TRUSTED = "--disable-workspace-trust";

/**
 * What a person does here as in a browser's workbench, where the same is tried on each commit: here one of them in turn, every
 * night all. The server in Node, the disk and Git are tried here each time.
 */
const ASKED: ReadonlySet<unknown> = new Set(
  someOf<unknown>([
    mendsTheFinding,
    writesInTheProtocol,
    runsTheScenarios,
    followsWithThePreview,
    worksUntrusted,
  ]),
);

let missing: string | undefined;
let editor: HostedEditor;
let workspace: HostedWorkspace;
let shared: Workbench | undefined;

beforeAll(async () => {
  missing = whyNoEditor();
  if (missing !== undefined) return;
  editor = new HostedEditor();
  workspace = editor.workspaceWith(WHOLE_SITE);
  workspace.commit();
}, 600_000);

afterAll(() => editor?.end());

/**
 * Does something in the editor in a folder that it trusts, with its files as they were committed but for `changes`. Starting
 * takes longest, so that one window goes from test to test, with nothing open. Where the editor cannot be had on this machine,
 * it says why.
 */
async function inEditor(
  context: TestContext,
  act: (workbench: Workbench) => Promise<void>,
  changes: Readonly<Record<string, string>> = {},
): Promise<void> {
  context.skip(missing !== undefined, missing);
  for (const [file, text] of Object.entries({ ...WHOLE_SITE, ...changes })) workspace.write(file, text);
  shared ??= await opened(await editor.start(TRUSTED), workspace);
  await judged(shared, act);
  await shared.command("File: Save All Files");
  await shared.command("View: Close All Editors");
  await shared.command("View: Show Explorer");
}

function opened(address: string, { folder }: HostedWorkspace): Promise<Workbench> {
  return Workbench.open(`${address}?folder=${encodeURIComponent(folder)}`, "hosted-");
}

/** A window in which something failed is not used again. */
async function judged(workbench: Workbench, act: (workbench: Workbench) => Promise<void>): Promise<void> {
  try {
    await act(workbench);
    workbench.expectNoFaults();
  } catch (error) {
    console.error(`The screen as the test failed: ${await workbench.pictureOfFailure()}`);
    await workbench.close();
    shared = undefined;
    throw error;
  }
}

test("the packed extension proves, steps and compiles with the server in Node", WAIT, async (context) => {
  await inEditor(context, async (workbench) => {
    await workbench.openFile(EARLY);
    await workbench.statusItem("let-down-early: 1 unsafe").waitFor();
    await workbench.goTo(...placeOf(EARLY, "deflate all for"));
    await workbench.command("Limbwright: Step Through the Run That Breaks a Rule");
    await workbench.beside(/1 of \d+ · 0:00/);
    await workbench.picture("run");
    await workbench.page.keyboard.press("Escape");

    await workbench.openFile(WRIST);
    await workbench.statusItem("rules hold").waitFor();
    await workbench.command("Limbwright: Compile to a Rule File");
    await workbench.notification("Wrote protocols/wrist-reduction.json").waitFor();
    const written = workspace.files()["protocols/wrist-reduction.json"] ?? "";
    expect(readRuleFile(written).kind).toBe("read");
  });
});

test.runIf(ASKED.has(mendsTheFinding))(
  "a finding is underlined, told on hover, and repaired with the server in Node",
  WAIT,
  async (context) => {
    await inEditor(context, async (workbench) => {
      await workbench.openFile(EARLY);
      expect(await mendsTheFinding(workbench)).toEqual(FIXES);
    });
  },
);

test.runIf(ASKED.has(writesInTheProtocol))(
  "words are completed, names renamed, the layout mended with the server in Node",
  WAIT,
  async (context) => {
    await inEditor(context, async (workbench) => {
      await workbench.openFile("routines.limb");
      await workbench.openFile(WRIST);
      expect(await writesInTheProtocol(workbench)).toBe(1);
    });
  },
);

test("a text is compared with the last commit, and each change leads to its lines", WAIT, async (context) => {
  // A title that would be markup in the page of the comparison.
  const title = "<script>document.title = 'run'</script><img src=x onerror=alert(1)>";
  const flawed = (WHOLE_SITE[WRIST] ?? "").replace("amount 3 mg/kg up to 200 mg", "amount 40 mL");
  const changes = { [WRIST]: flawed.replace(/(protocol wrist-reduction )"[^"]*"/, `$1"${title}"`) };
  const act = async (workbench: Workbench) => {
    await workbench.openFile(WRIST);
    await workbench.statusItem("1 unsafe").waitFor();
    await workbench.command("Limbwright: Compare with the Last Commit");
    const page = workbench.webview;
    await page.getByText("is 40 mL now; before, 3 mg/kg up to 200 mg").waitFor();
    await workbench.picture("comparison");
    expect(await page.locator("h1").textContent()).toContain("in the last commit");
    expect(await page.locator("h2").first().textContent()).toBe(title);
    expect(await page.locator("img[src=x]").count()).toBe(0);
    await page.locator('[data-side="before"]').first().click();
    // Until the earlier text is there the other editor would lose the screen to it again.
    const earlier = { hasText: "wrist-reduction.limb", hasNotText: /last commit|Comparison/ };
    await workbench.page.locator(".tab.active", earlier).first().waitFor();
    await workbench.page.locator(".tab", { hasText: "last commit ↔ now" }).click();
    await workbench.page.locator(".diffEditor, .monaco-diff-editor").first().waitFor();
    await workbench.picture("difference");
  };
  await inEditor(context, act, changes);
});

test.runIf(ASKED.has(runsTheScenarios))("scenarios run with the server in Node", WAIT, async (context) => {
  await inEditor(context, async (workbench) => {
    await workbench.openFile(CASES);
    expect(await runsTheScenarios(workbench)).toBe(1);
  });
});

test.runIf(ASKED.has(followsWithThePreview))(
  "the preview follows with the server in Node",
  WAIT,
  async (context) => {
    await inEditor(context, async (workbench) => {
      await workbench.openFile(EARLY);
      expect(await followsWithThePreview(workbench)).toBe("The earliest release");
    });
  },
);

test.runIf(ASKED.has(worksUntrusted))(
  "in a folder that is not trusted all is shown, and nothing is written to the disk",
  WAIT,
  async (context) => {
    context.skip(missing !== undefined, missing);
    const untrusted = editor.workspaceWith(WHOLE_SITE);
    const workbench = await opened(await editor.start(), untrusted);
    await judged(workbench, async () => {
      await workbench.page.getByText("No, I don't trust the authors").click();
      expect(await worksUntrusted(workbench, () => untrusted.files())).toBe(3);
      expect(Object.keys(untrusted.files())).toEqual(Object.keys(WHOLE_SITE).sort());
    });
    await workbench.close();
  },
);
