// Builds the libraries, the command line and the extension from the sources and the generated sources. Run by `npm run build`.

import { buildCommandLine } from "./steps/command-line.mjs";
import { buildExtension } from "./steps/extension.mjs";
import { buildLibrary } from "./steps/library.mjs";

for (const workspace of ["shared", "language"]) {
  await buildLibrary(workspace);
  console.log(`built ${workspace}/dist`);
}
await buildCommandLine();
console.log("built server/dist");
await buildExtension();
console.log("built extension/dist");
