import { spawnSync } from "node:child_process";
import { join } from "node:path";
import { expect, test } from "vitest";
import { asksAll } from "../questions.ts";

const SCRIPT = join(import.meta.dirname, "../../.development/test-nodes.mjs");
/** How the script ends where the other Nodes can't be had. */
const LACKING = 3;

/** On each commit the oldest and the newest Node, every night all of them. */
const TRIED = asksAll() ? { given: [], count: 4 } : { given: ["--ends"], count: 2 };

test("a fresh copy works on every Node that the project is for, and answers with the same bytes", {
  timeout: 1_800_000,
}, (context) => {
  const { status, stdout, stderr } = spawnSync(process.execPath, [SCRIPT, ...TRIED.given], {
    encoding: "utf8",
  });
  context.skip(status === LACKING, stdout.trim());
  expect(`${stdout}${stderr}`).toMatch(
    new RegExp(`^(Node [\\d.]+: works \\(\\d+ s\\)\\.\n){${TRIED.count}}$`),
  );
  expect(status).toBe(0);
});
