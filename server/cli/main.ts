import { limb } from "./limb.ts";
import { processSurroundings } from "./standard-streams.ts";

void limb(process.argv.slice(2), processSurroundings()).then((code) => {
  // All output is written by now, so there is nothing to wait for.
  process.exit(code);
});
