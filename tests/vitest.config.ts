import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";
import { BaseSequencer, type TestSpecification } from "vitest/node";
import { asking } from "./questions.ts";

/** What takes longest begins first, so that the workers end together; a list of what took how long is not in the repository. */
const LONGEST = [
  "/house/nodes",
  "/extension/hosted-editor",
  "/extension/",
  "/rehearsal/",
  "/server/",
  "/house/",
  "/fuzz/any-text",
  "/compare/",
  "/solver/",
  "/rules/pages",
];

class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const rank = ({ moduleId }: TestSpecification) =>
      [...LONGEST, ""].findIndex((part) => moduleId.includes(part));
    return (await super.sort(files)).sort((a, b) => rank(a) - rank(b));
  }
}

/**
 * The fast tests, run before every commit; none needs a browser. They read the sources; those of `server`, `extension` and
 * `house` run what is built.
 */
export default defineConfig({
  root: fileURLToPath(new URL("..", import.meta.url)),
  ssr: { resolve: { conditions: ["limbwright-source"] } },
  test: {
    include: ["tests/**/*.test.ts"],
    exclude: ["tests/**/*.long.test.ts"],
    pool: "forks",
    // No module keeps anything of a text that another could see, so the files of a worker share what they import: half the time of a run.
    isolate: false,
    maxWorkers: 2,
    sequence: { sequencer: LongestFirst },
    // What is tested makes many small values that do not live long: with more room for them a tenth of the time is saved.
    execArgv: ["--max-semi-space-size=64"],
    // What the last commit says is compared, too, where the checkout belongs to another user than the one who runs the tests.
    env: {
      ...{ GIT_CONFIG_COUNT: "1", GIT_CONFIG_KEY_0: "safe.directory", GIT_CONFIG_VALUE_0: "*" },
      ...asking("a tenth"),
    },
    globalSetup: "tests/questions.ts",
    // Only what hangs is ended: on a busy machine what computes takes many times as long.
    testTimeout: 120_000,
    hookTimeout: 120_000,
  },
});
