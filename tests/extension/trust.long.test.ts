import { expect, test, vi } from "vitest";
import { inWorkbench } from "./example-workbench.ts";
import { WHOLE_SITE, worksUntrusted } from "./in-the-editor.ts";

/** Of folders in a browser, VS Code asks for trust only where they are of this scheme. */
const UNTRUSTED = {
  folder: { scheme: "vscode-vfs", path: "/tarn-hollow" },
  defaults: { "security.workspace.trust.startupPrompt": "never", "security.workspace.trust.banner": "never" },
  more: { enableWorkspaceTrust: true },
};

test("in a folder that is not trusted all is checked and shown, and nothing is written", {
  timeout: 240_000,
}, async () => {
  await inWorkbench({ files: WHOLE_SITE, open: [], ...UNTRUSTED }, async (workbench) => {
    await workbench.statusItem("Restricted Mode").waitFor();
    // The explorer fills a folder some time after it is opened.
    const site = [...new Set(Object.keys(WHOLE_SITE).flatMap((file) => file.split("/")))];
    const listed = async () => {
      await workbench.command("View: Show Explorer");
      for (const folder of ["flawed", "protocols", "scenarios"]) await workbench.expand(folder);
      return vi.waitFor(async () => {
        const files = await workbench.allFiles();
        expect(files).toEqual(expect.arrayContaining(site));
        return files;
      }, 10_000);
    };
    expect(await worksUntrusted(workbench, listed)).toBe(3);
    expect((await listed()).sort()).toEqual(site.sort());
  });
});
