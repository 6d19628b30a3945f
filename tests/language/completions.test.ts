import { expect, test } from "vitest";
import { completionsAt } from "../../language/editor/completions.ts";
import { statementsIn } from "../../language/editor/statement-templates.ts";
import { Site } from "../../language/lower/site.ts";

const STEPS_WITH_A_TIME = statementsIn("steps").flatMap(({ template }) => {
  const [, words, number] = /^(.*)\$\{1:(\d+) (?:s|min|h)\}$/.exec(template) ?? [];
  return words === undefined ? [] : [`${words}${number} `];
});

test("some steps say a time", () => {
  expect(STEPS_WITH_A_TIME).toContain("recovery 30 ");
});

test.each(STEPS_WITH_A_TIME)("after `%s` the units of time are offered", (step) => {
  const before = `protocol p {\n  steps {\n    ${step}`;
  const site = new Site(() => `${before}\n  }\n}\n`);
  const items = completionsAt(site, "wrist.limb", before.length, [])?.items ?? [];
  expect(items.map(({ label }) => label).sort()).toEqual(["h", "min", "s"]);
});
