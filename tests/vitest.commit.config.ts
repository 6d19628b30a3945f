import { defineConfig } from "vitest/config";
import long from "./vitest.long.config.ts";

/**
 * Long tests of which one group has its turn on each commit, by the seed of the run; every night all have. The groups take
 * about as long as one another. What a person meets first, and what is asked at random, is tried each time.
 */
const IN_TURN = [
  [
    "house/nodes",
    "extension/writing",
    "extension/scenarios",
    "server/diff-driver",
    "server/language-server/web-worker",
  ],
  [
    "server/sheet-in-browser",
    "extension/preview-page",
    "extension/trust",
    "rehearsal/page",
    "server/compare",
    "server/language-server/last-commit",
  ],
  [
    "extension/preview-panel",
    "extension/comparison",
    "extension/preview-page-shown",
    "extension/progress",
    "server/comparison-in-browser",
    "server/language-server/edits",
    "server/language-server/other-editors",
    "server/language-server/progress",
    "server/last-commit",
    "house/packages",
  ],
];

const turn = Number(long.test?.env?.LIMBWRIGHT_SEED) % IN_TURN.length;
const waiting = IN_TURN.filter((_, at) => at !== turn).flat();

export default defineConfig({
  ...long,
  test: {
    ...long.test,
    env: { ...long.test?.env, LIMBWRIGHT_WAITING: waiting.join(", ") },
    exclude: waiting.map((file) => `tests/${file}.long.test.ts`),
  },
});
