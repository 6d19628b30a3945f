import { Site } from "@limbwright/language";
import { expect, test } from "vitest";
import { catalogue } from "../../language/rules/catalogue.ts";

const parameters = catalogue.flatMap((rule) =>
  (rule.parameters ?? []).map((parameter) => [`${rule.id}.${parameter.name}`, parameter] as const),
);

test.each(parameters)("local rules can set %s by its name", (name, parameter) => {
  const value = `${parameter.standard} ${parameter.unit}`.trim();
  const site = new Site(() => `local-rules own {\n  set ${name} ${value}\n}\n`);
  const read = site.file("local-rules.limb");
  expect(read?.problems).toEqual([]);
  expect(read?.localRules[0]?.settings.map((setting) => `${setting.rule}.${setting.parameter}`)).toEqual([
    name,
  ]);
});
