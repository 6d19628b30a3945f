// Writes the generated sources, which are not kept in Git. Run by `npm run generate`.

import { generateCatalogue } from "./steps/catalogue.mjs";
import { generateChangeCodes } from "./steps/change-codes.mjs";
import { isAsBuilt } from "./steps/last-build.mjs";
import { generateParser } from "./steps/parser.mjs";
import { generateRuleFile } from "./steps/rule-file.mjs";
import { generateTemplate } from "./steps/template.mjs";

const STEPS = [
  ["language/grammar/generated", generateParser],
  ["shared/rule-file/generated", generateRuleFile],
  ["language/rules/generated", generateCatalogue],
  ["language/outputs/template/generated", generateTemplate],
  ["language/compare/generated", generateChangeCodes],
];

for (const [folder, generate] of isAsBuilt() ? [] : STEPS) {
  await generate();
  console.log(`generated ${folder}`);
}
