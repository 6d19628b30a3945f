import { defineConfig } from "vitest/config";
import { asking } from "./questions.ts";
import long from "./vitest.long.config.ts";

/** Every test there is, with all random questions. */
export default defineConfig({
  ...long,
  test: { ...long.test, include: ["tests/**/*.test.ts"], env: { ...long.test?.env, ...asking("all") } },
});
