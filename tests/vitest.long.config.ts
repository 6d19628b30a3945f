import { defineConfig } from "vitest/config";
import fast from "./vitest.config.ts";

/** The long tests: thousands of questions each. */
export default defineConfig({
  ...fast,
  test: { ...fast.test, include: ["tests/**/*.long.test.ts"], exclude: [], testTimeout: 600_000 },
});
