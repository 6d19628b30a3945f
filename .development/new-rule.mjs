// Starts a rule: `npm run new-rule -- ID GROUP` writes language/rules/ID/page.md and rule.ts.
// Both say what is still to be written, and the tests fail until it is.

import { existsSync, mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { root } from "./steps/files.mjs";
import { GROUPS } from "./steps/rule-page.mjs";

const { positionals, values } = parseArgs({
  allowPositionals: true,
  options: { folder: { type: "string", default: join(root, "language/rules") } },
});
const [id = "", group = ""] = positionals;
const folder = join(values.folder, id);

const RULE = `import type { Rule, RuleContext } from "../engine/definition.ts";
import { HOLDS, type Judgement } from "../engine/judgement.ts";

export const rule: Rule = { judge };

/** Say what is looked at, and give what is found: \`found(...)\`, or \`undecided(...)\` with the limit reached. */
function judge(_context: RuleContext): Judgement {
  return HOLDS;
}
`;

const refusal = refusalOf();
if (refusal !== undefined) {
  console.error(
    `${refusal}\nUse: npm run new-rule -- ID GROUP, for example: npm run new-rule -- dose-over-maximum dose`,
  );
  process.exit(2);
}
mkdirSync(folder);
writeFileSync(join(folder, "page.md"), pageText());
writeFileSync(join(folder, "rule.ts"), RULE);
console.log(`Wrote ${folder}/page.md and rule.ts.
Next: on the page write what the rule asks for, the example that breaks it and the one that passes it, and name its sources, also those that disagree;
      then write the detection in rule.ts.
      npm run generate takes the rule into the catalogue; npx vitest run --config tests/vitest.config.ts tests/rules runs its page.`);

function refusalOf() {
  if (!/^[a-z]+(-[a-z]+)+$/.test(id)) {
    return `"${id}" is no name for a rule: write words in lower case joined by hyphens, which say what is wrong.`;
  }
  if (!GROUPS.includes(group)) {
    return `"${group}" is no group of the catalogue. The groups are ${GROUPS.join(", ")}.`;
  }
  return existsSync(folder) ? `There is a rule ${id} already: ${folder}.` : undefined;
}

function pageText() {
  return `---
title: Say what the rule asks for
group: ${group}
severity: doubtful
why: Say in one sentence what can happen to the patient.
---

## Why it matters

Say what can happen to the patient, for a doctor.

## What breaks it

Mark the exact words under which the finding stands.

\`\`\`limb breaks
dose local of lidocaine {
  amount 40 mL
//       ^^^^^ ${id}: words of the finding
  over 90 s to 3 min
}
\`\`\`

## What passes

\`\`\`limb passes
dose local of lidocaine {
  amount 3 mg/kg up to 200 mg
  over 90 s to 3 min
}
\`\`\`

## What it does not see

Say what the rule does not look at, and which rule does.
`;
}
