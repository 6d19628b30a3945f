import { defineConfig } from "vitest/config";
import fast from "./vitest.config.ts";

/** The long tests: random questions by the hundred, browsers, editors, other Nodes, versions in a repository, packing. */
export default defineConfig({
  ...fast,
  test: {
    ...fast.test,
    include: ["tests/**/*.long.test.ts"],
    exclude: [],
    testTimeout: 600_000,
    hookTimeout: 600_000,
  },
});
