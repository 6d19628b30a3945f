// Packs the extension that was built into one file that VS Code installs: `npm run package`. Works without a network.

import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, relative } from "node:path";
import { createVSIX } from "@vscode/vsce";
import { root } from "./steps/files.mjs";

/** What stands in the package, by where it lies in the project. */
const PARTS = {
  dist: "extension/dist",
  icons: "extension/icons",
  walkthrough: "extension/walkthrough",
  "language-configuration.json": "extension/language-configuration.json",
  "README.md": "extension/README.md",
  "CHANGELOG.md": "CHANGELOG.md",
  LICENSE: "LICENSE",
};

const stage = mkdtempSync(join(tmpdir(), "limbwright-package-"));
try {
  for (const [part, from] of Object.entries(PARTS)) {
    cpSync(join(root, from), join(stage, part), { recursive: true, filter: (path) => !path.endsWith(".ts") });
  }
  const manifest = packedManifest();
  writeFileSync(join(stage, "package.json"), JSON.stringify(manifest, undefined, 2));
  const file = join(root, "dist", `limbwright-${manifest.version}.vsix`);
  mkdirSync(join(root, "dist"), { recursive: true });
  await createVSIX({ cwd: stage, packagePath: file, dependencies: false, allowMissingRepository: true });
  console.log(
    `Wrote ${relative(process.cwd(), file)}. Install it with: code --install-extension ${relative(process.cwd(), file)}`,
  );
} finally {
  rmSync(stage, { recursive: true });
}

/** All that the extension needs is bundled into it, so it depends on nothing. */
function packedManifest() {
  const manifest = JSON.parse(readFileSync(join(root, "extension/package.json"), "utf8"));
  const {
    private: _private,
    dependencies: _dependencies,
    devDependencies: _devDependencies,
    ...packed
  } = manifest;
  return packed;
}
