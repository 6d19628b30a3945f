import { readRuleFile } from "@limbwright/shared/rule-file";
import { afterAll, beforeAll, expect, type TestContext, test } from "vitest";
import { openBrowser } from "../server/open-browser.ts";
import { placeOf, siteWith } from "./example-workbench.ts";
import { HostedEditor, type HostedWorkspace, whyNoEditor } from "./hosted-editor.ts";
import {
  CASES,
  EARLY,
  FIXES,
  followsWithThePreview,
  mendsTheFinding,
  runsTheScenarios,
  UNTRUSTED_SITE,
  WITH_CASES,
  WRIST,
  worksUntrusted,
  writesInTheProtocol,
} from "./in-the-editor.ts";
import { Workbench } from "./workbench.ts";

const WAIT = { timeout: 300_000 };
const TRUSTED = "--disable-workspace-trust";

let missing: string | undefined;
let editor: HostedEditor;
let trusting: string;

beforeAll(async () => {
  missing = whyNoEditor();
  if (missing !== undefined) return;
  editor = new HostedEditor();
  trusting = await editor.start(TRUSTED);
}, 600_000);

afterAll(() => editor?.end());

/** Does something in the editor with a workspace of its own. Where the editor cannot be had on this machine, it says why. */
async function inEditor(
  context: TestContext,
  files: Readonly<Record<string, string>>,
  act: (workbench: Workbench, workspace: HostedWorkspace) => Promise<void>,
  { prepare = () => {}, address = () => trusting }: Preparations = {},
): Promise<void> {
  context.skip(missing !== undefined, missing);
  const workspace = editor.workspaceWith(files);
  prepare(workspace);
  const url = `${await address()}?folder=${encodeURIComponent(workspace.folder)}`;
  const workbench = await Workbench.open(await openBrowser(), url, "hosted-");
  try {
    await act(workbench, workspace);
    workbench.expectNoFaults();
  } catch (error) {
    await workbench.picture("where-a-test-failed");
    throw error;
  } finally {
    await workbench.close();
  }
}

interface Preparations {
  readonly prepare?: (workspace: HostedWorkspace) => void;
  /** Where the editor is; if not said, the one that trusts every folder. */
  readonly address?: () => string | Promise<string>;
}

test("the packed extension proves, steps and compiles with the server in Node", WAIT, async (context) => {
  await inEditor(context, siteWith(EARLY, WRIST), async (workbench, workspace) => {
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

test(
  "a finding is underlined, told on hover, and repaired with the server in Node",
  WAIT,
  async (context) => {
    await inEditor(context, siteWith(EARLY), async (workbench) => {
      await workbench.openFile(EARLY);
      expect(await mendsTheFinding(workbench)).toEqual(FIXES);
    });
  },
);

test(
  "words are completed, names renamed, the layout mended with the server in Node",
  WAIT,
  async (context) => {
    await inEditor(context, siteWith(WRIST), async (workbench) => {
      await workbench.openFile("routines.limb");
      await workbench.openFile(WRIST);
      expect(await writesInTheProtocol(workbench)).toBe(1);
    });
  },
);

test("a text is compared with the last commit, and each change leads to its lines", WAIT, async (context) => {
  // A title that would be markup in the page of the comparison.
  const title = "<script>document.title = 'run'</script><img src=x onerror=alert(1)>";
  const text = siteWith(WRIST)[WRIST] ?? "";
  const prepare = (workspace: HostedWorkspace) => {
    workspace.commit();
    const flawed = text.replace("amount 3 mg/kg up to 200 mg", "amount 40 mL");
    workspace.write(WRIST, flawed.replace(/(protocol wrist-reduction )"[^"]*"/, `$1"${title}"`));
  };
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
    await workbench.page.locator(".tab.active", { hasText: "wrist-reduction" }).first().waitFor();
    await workbench.page.locator(".tab", { hasText: "last commit ↔ now" }).click();
    await workbench.page.locator(".diffEditor, .monaco-diff-editor").first().waitFor();
    await workbench.picture("difference");
  };
  await inEditor(context, siteWith(WRIST), act, { prepare });
});

test(
  "in a folder that is not trusted all is shown, and nothing is written to the disk",
  WAIT,
  async (context) => {
    const act = async (workbench: Workbench, workspace: HostedWorkspace) => {
      await workbench.page.getByText("No, I don't trust the authors").click();
      expect(await worksUntrusted(workbench, () => workspace.files())).toBe(3);
      expect(Object.keys(workspace.files())).toEqual(Object.keys(UNTRUSTED_SITE).sort());
    };
    await inEditor(context, UNTRUSTED_SITE, act, { address: () => editor.start() });
  },
);

test("scenarios run with the server in Node", WAIT, async (context) => {
  await inEditor(context, WITH_CASES, async (workbench) => {
    await workbench.openFile(CASES);
    expect(await runsTheScenarios(workbench)).toBe(1);
  });
});

test("the preview follows with the server in Node", WAIT, async (context) => {
  await inEditor(context, siteWith(EARLY), async (workbench) => {
    await workbench.openFile(EARLY);
    expect(await followsWithThePreview(workbench)).toBe("The earliest release");
  });
});
