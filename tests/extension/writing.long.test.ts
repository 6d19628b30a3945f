import { expect, test } from "vitest";
import { inWorkbench, siteWith } from "./example-workbench.ts";
import { EARLY, FIXES, mendsTheFinding, WRIST, writesInTheProtocol } from "./in-the-editor.ts";

const WAIT = { timeout: 120_000 };

test("a finding is underlined, told on hover, and repaired where one asks for it", WAIT, async () => {
  await inWorkbench({ files: siteWith(EARLY), open: [EARLY] }, async (workbench) => {
    expect(await mendsTheFinding(workbench)).toEqual(FIXES);
  });
});

test("words are completed, names renamed in all files, and the layout mended", WAIT, async () => {
  const files = siteWith(WRIST);
  const begin = { files, open: ["routines.limb", WRIST] };
  await inWorkbench(begin, async (workbench) => {
    expect(await writesInTheProtocol(workbench)).toBe(1);
  });
});
