// Serves VS Code for the Web with the extension and the example hospital open: `npm run workbench`, or `-- --port 4000`.
// Nothing leaves the machine. Builds first where that was not done.

import { existsSync } from "node:fs";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { root } from "./steps/files.mjs";
import { serveWorkbench, textsBelow } from "./workbench/serve.mjs";

const { values } = parseArgs({ options: { port: { type: "string", default: "5150" } } });
if (!existsSync(join(root, "extension/dist/web.js"))) {
  console.error("The extension is not built yet: npm run build");
  process.exit(1);
}
try {
  const { url } = await serveWorkbench({
    port: Number(values.port),
    files: textsBelow(join(root, "examples/tarn-hollow")),
    open: ["flawed/let-down-early.limb", "protocols/wrist-reduction.limb"],
    run: ["limbwright.openPreview"],
  });
  console.log(`The Tarn Hollow Hospital is open at ${url}

What you change there stays in the page and is gone with it. To work on your own files, open a folder of this
machine with File, Open Folder (in browsers that allow it). Nothing leaves the machine. Ctrl+C ends it.`);
} catch (error) {
  console.error(
    `The workbench could not be started: ${error.message}. Another port: npm run workbench -- --port 4000`,
  );
  process.exit(1);
}
