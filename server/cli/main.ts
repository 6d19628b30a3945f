import { limb } from "./limb.ts";
import { processSurroundings } from "./standard-streams.ts";

void limb(process.argv.slice(2), processSurroundings()).then((code) => {
  process.exitCode = code;
});
