import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import Ajv2020 from "ajv/dist/2020.js";
import standaloneCode from "ajv/dist/standalone/index.js";
import { build } from "esbuild";
import { compile } from "json-schema-to-typescript";
import { BANNER, fillFolder, root } from "./files.mjs";

const SCHEMA = join(root, "shared/rule-file/rule-file.schema.json");

/** Writes the types of the rule file and the code that holds a value against its schema. */
export async function generateRuleFile() {
  const schema = JSON.parse(readFileSync(SCHEMA, "utf8"));
  fillFolder(join(dirname(SCHEMA), "generated"), {
    "rule-file.ts": await types(schema),
    "validate-rule-file.js": await validator(schema),
    "validate-rule-file.d.ts": VALIDATOR_TYPES,
  });
}

function types(schema) {
  return compile(schema, "RuleFile", {
    additionalProperties: false,
    bannerComment: BANNER.trim(),
    cwd: dirname(SCHEMA),
    ignoreMinAndMaxItems: true,
    printWidth: 110,
    unknownAny: true,
  });
}

/** The schema as plain code, so that nothing is compiled at run time (which browsers' content policies refuse). */
async function validator(schema) {
  const ajv = new Ajv2020({
    code: { source: true, esm: true },
    inlineRefs: false,
    messages: false,
    strict: true,
  });
  ajv.addSchema(withoutDescriptions(schema), "rule-file");
  const code = standaloneCode(ajv, { validateRuleFile: "rule-file" });
  const bundled = await build({
    stdin: { contents: code, resolveDir: root, sourcefile: "validate-rule-file.js" },
    bundle: true,
    format: "esm",
    platform: "neutral",
    mainFields: ["main"],
    minify: true,
    write: false,
  });
  return BANNER + bundled.outputFiles[0].text;
}

/** Words for readers of the schema, which would only make the code longer. */
function withoutDescriptions(schema) {
  return JSON.parse(
    JSON.stringify(schema, (key, value) =>
      key === "description" && typeof value === "string" ? undefined : value,
    ),
  );
}

const VALIDATOR_TYPES = `${BANNER}
/** The first disagreement of a value with the schema. \`instancePath\` is a JSON Pointer into the value. */
export interface SchemaError {
  readonly instancePath: string;
  readonly schemaPath: string;
  readonly keyword: string;
  readonly params: Readonly<Record<string, unknown>>;
}

/** Whether the value is what the schema of the rule file asks; if not, \`errors\` says where. */
export const validateRuleFile: {
  (value: unknown): boolean;
  errors?: readonly SchemaError[] | null;
};
`;
