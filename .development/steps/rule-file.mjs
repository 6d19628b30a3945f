import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import Ajv2020 from "ajv/dist/2020.js";
import standaloneCode from "ajv/dist/standalone/index.js";
import { build } from "esbuild";
import { BANNER, fillFolder, root } from "./files.mjs";
import { partsOfPage } from "./rule-file-page.mjs";
import { schemaOf } from "./rule-file-schema.mjs";
import { formOf, modelTypesOf, typesOf } from "./rule-file-types.mjs";

const PAGE = join(root, "shared/rule-file/rule-file.md");

/** Writes what is made of the page of the rule file: its schema, its types, and the code that holds a value against them. */
export async function generateRuleFile() {
  const parts = partsOfPage(readFileSync(PAGE, "utf8"));
  const schema = schemaOf(parts);
  fillFolder(join(dirname(PAGE), "generated"), {
    "rule-file.schema.json": `${JSON.stringify(schema, undefined, 2)}\n`,
    "rule-file.ts": BANNER + typesOf(parts),
    "form.ts": `${BANNER}export const FORM: string = ${JSON.stringify(JSON.stringify(formOf(parts)))};\n`,
    "validate-rule-file.js": await validator(schema),
    "validate-rule-file.d.ts": VALIDATOR_TYPES,
  });
  fillFolder(join(root, "language/rule-file/generated"), {
    "models.ts": BANNER + modelTypesOf(parts),
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

/** The schema without the words for its readers. */
function withoutDescriptions(schema) {
  return JSON.parse(JSON.stringify(schema), (_key, value) => {
    if (typeof value?.description !== "string") return value;
    const { description: _, ...rest } = value;
    return rest;
  });
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
