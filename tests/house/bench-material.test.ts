import { readFileSync } from "node:fs";
import { join } from "node:path";
import { checkFiles, Site } from "@limbwright/language";
import { expect, test } from "vitest";

const SITE = join(import.meta.dirname, "../bench/material/site");

test("the protocol that the benchmarks check has nothing found: they time a check that ends with 0", () => {
  const site = new Site((file) => readFileSync(join(SITE, file), "utf8"));
  const [check] = [...checkFiles(site, ["wrist-reduction.limb"], { on: "2026-11-25" })];
  expect(check?.findings.map(({ rule, origin }) => `${rule} at ${origin.start.line}`)).toEqual([]);
  expect(check?.protocols).toHaveLength(1);
});
