// Builds the libraries, the command line and the extension from the sources and the generated sources, unless nothing has changed
// since they were built. Run by `npm run build`.

import { buildCommandLine } from "./steps/command-line.mjs";
import { buildExtension } from "./steps/extension.mjs";
import { isAsBuilt, noteBuild } from "./steps/last-build.mjs";
import { buildLibrary } from "./steps/library.mjs";

if (isAsBuilt()) {
  console.log("nothing has changed since the last build");
} else {
  for (const workspace of ["shared", "language"]) {
    await buildLibrary(workspace);
    console.log(`built ${workspace}/dist`);
  }
  await buildCommandLine();
  console.log("built server/dist");
  await buildExtension();
  console.log("built extension/dist");
  noteBuild();
}
