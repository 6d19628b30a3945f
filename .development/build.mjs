// Builds the libraries, the command line and the page of the preview from the sources and the generated sources. Run by `npm run build`.

import { join } from "node:path";
import { buildCommandLine } from "./steps/command-line.mjs";
import { fillFolder, root } from "./steps/files.mjs";
import { buildLibrary } from "./steps/library.mjs";
import { previewPageFiles } from "./steps/preview-page.mjs";

for (const workspace of ["shared", "language"]) {
  await buildLibrary(workspace);
  console.log(`built ${workspace}/dist`);
}
await buildCommandLine();
console.log("built server/dist");
fillFolder(join(root, "extension/dist"), await previewPageFiles());
console.log("built extension/dist");
