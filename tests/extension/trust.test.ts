import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { openBrowser } from "../server/open-browser.ts";
import { inWorkbench, siteWith } from "./example-workbench.ts";

const WRIST = "protocols/wrist-reduction.limb";
/** Of folders in a browser, VS Code asks for trust only where they are of this scheme. */
const UNTRUSTED = {
  folder: { scheme: "vscode-vfs", path: "/tarn-hollow" },
  settings: { "security.workspace.trust.startupPrompt": "never", "security.workspace.trust.banner": "never" },
  more: { enableWorkspaceTrust: true },
};

let browser: Browser;

beforeAll(async () => {
  browser = await openBrowser();
}, 60_000);

afterAll(() => browser?.close());

test("in a folder that is not trusted all is checked, and nothing is written", {
  timeout: 120_000,
}, async () => {
  await inWorkbench(browser, { files: siteWith(WRIST), open: [WRIST], ...UNTRUSTED }, async (workbench) => {
    await workbench.statusItem("Restricted Mode").waitFor();
    await workbench.statusItem("rules hold").waitFor();
    for (const title of ["Compile to a Rule File", "Save the Bedside Sheet", "New Protocol from Template"]) {
      await workbench.command(`Limbwright: ${title}`);
      const refusal = workbench.notification("Nothing was written: this folder is not trusted");
      await refusal.waitFor();
      await workbench.picture("untrusted");
      await refusal.hover();
      await refusal.locator(".codicon-notifications-clear").click();
    }
    expect(await workbench.files("protocols")).toEqual(["wrist-reduction.limb"]);
  });
});
