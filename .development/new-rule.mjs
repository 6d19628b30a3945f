// Starts a rule: `npm run new-rule -- ID GROUP` writes language/rules/ID/rule.ts and page.md.
// Both say what is still to be written, and the tests fail until it is.

import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";

const RULES = join(dirname(fileURLToPath(import.meta.url)), "../language/rules");
const { positionals, values } = parseArgs({
  allowPositionals: true,
  options: { folder: { type: "string", default: RULES } },
});
const [id = "", group = ""] = positionals;
const groups = groupsOfTheCatalogue();
const folder = join(values.folder, id);

const refusal = refusalOf();
if (refusal !== undefined) {
  console.error(
    `${refusal}\nUse: npm run new-rule -- ID GROUP, for example: npm run new-rule -- dose-over-maximum dose`,
  );
  process.exit(2);
}
mkdirSync(folder);
writeFileSync(join(folder, "rule.ts"), ruleText());
writeFileSync(join(folder, "page.md"), pageText());
console.log(`Wrote ${folder}/rule.ts and page.md.
Next: write the example that breaks the rule and the one that passes it, name the sources in rule.ts, also those that disagree, then write the detection.
      npm run generate takes the rule into the catalogue; npx vitest run --config tests/vitest.config.ts tests/rules runs its page.`);

function refusalOf() {
  if (!/^[a-z]+(-[a-z]+)+$/.test(id)) {
    return `"${id}" is no name for a rule: write words in lower case joined by hyphens, which say what is wrong.`;
  }
  if (!groups.includes(group)) {
    return `"${group}" is no group of the catalogue. The groups are ${groups.join(", ")}.`;
  }
  return existsSync(folder) ? `There is a rule ${id} already: ${folder}.` : undefined;
}

function groupsOfTheCatalogue() {
  const declared = /export type Group =([^;]*);/.exec(
    readFileSync(join(RULES, "engine/definition.ts"), "utf8"),
  );
  return [...declared[1].matchAll(/"([a-z-]+)"/g)].map(([, name]) => name);
}

function ruleText() {
  return `import { HOLDS, type Judgement, type Rule, type RuleContext } from "../engine/definition.ts";

export const rule: Rule = {
  id: "${id}",
  title: "Say what the rule asks for",
  group: "${group}",
  severity: "doubtful",
  why: "Say in one sentence what can happen to the patient.",
  sources: [],
  judge,
};

/** Say what is looked at, and give what is found: \`found(...)\`, or \`undecided(...)\` with the limit reached. */
function judge(_context: RuleContext): Judgement {
  return HOLDS;
}
`;
}

function pageText() {
  return `## Why it matters

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
