// Builds the libraries and the command line from the sources and the generated sources. Run by `npm run build`.

import { buildCommandLine } from "./steps/command-line.mjs";
import { buildLibrary } from "./steps/library.mjs";

for (const workspace of ["shared", "language"]) {
  await buildLibrary(workspace);
  console.log(`built ${workspace}/dist`);
}
await buildCommandLine();
console.log("built server/dist");
