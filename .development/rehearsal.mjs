// Writes the rehearsal page: one page of HTML, to be opened in any browser, in which a team in training takes an invented
// patient through a protocol. Run by `npm run rehearsal`; `-- FILE.json …` puts these rule files into it, and not those of
// the example hospital; `-- --out FILE` says where it is written.

import { spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, relative, resolve } from "node:path";
import { parseArgs } from "node:util";
import { root } from "./steps/files.mjs";
import { rehearsalPage } from "./steps/rehearsal-page.mjs";

const { values, positionals } = parseArgs({ options: { out: { type: "string" } }, allowPositionals: true });
const out = resolve(values.out ?? join(root, "dist/rehearsal.html"));
const texts =
  positionals.length > 0 ? positionals.map((file) => readFileSync(file, "utf8")) : exampleRuleFiles();
mkdirSync(dirname(out), { recursive: true });
writeFileSync(out, await rehearsalPage(texts));
console.log(
  `Wrote ${relative(process.cwd(), out)} with ${texts.length} protocols. Open it in a browser; it needs nothing else.`,
);

/** The example does not grow old: its dates are judged on this day. */
function exampleRuleFiles() {
  const folder = mkdtempSync(join(tmpdir(), "limb-rehearsal-"));
  try {
    const limb = join(root, "server/bin/limb.cjs");
    const given = ["compile", "examples/tarn-hollow/protocols", "--into", folder, "--on", "2026-11-25"];
    const { status, stderr } = spawnSync(process.execPath, [limb, ...given], { cwd: root, encoding: "utf8" });
    if (status !== 0) throw new Error(`The example protocols were not compiled:\n${stderr}`);
    return readdirSync(folder)
      .sort()
      .map((name) => readFileSync(join(folder, name), "utf8"));
  } finally {
    rmSync(folder, { recursive: true });
  }
}
