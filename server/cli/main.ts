import { isMainThread } from "node:worker_threads";
import { limb } from "./limb.ts";
import { processSurroundings } from "./standard-streams.ts";

if (isMainThread) {
  void limb(process.argv.slice(2), processSurroundings()).then((code) => {
    // All output is written by now, so there is nothing to wait for; Node would wait for its idle threads.
    process.exit(code);
  });
} else {
  void import("./replay/thread.ts").then(({ replayAsTold }) => replayAsTold());
}
