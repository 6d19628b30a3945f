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

/** A description beside a reference would give the same type a second name, so it is left to the schema. */
async function types(schema) {
  const plain = withoutDescriptions(schema, (part) => part.$ref !== undefined);
  const text = await compile(plain, "RuleFile", {
    additionalProperties: false,
    bannerComment: BANNER.trim(),
    cwd: dirname(SCHEMA),
    ignoreMinAndMaxItems: true,
    unreachableDefinitions: true,
    printWidth: 110,
    unknownAny: true,
  });
  return text.replace(WHERE_REFERENCED, "");
}

/** What the generator says of itself below every description. */
const WHERE_REFERENCED =
  / \*\n \* This interface was referenced by `.*`'s JSON-Schema\n \* via the `definition` ".*"\.\n/g;

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

/** The schema without the words for its readers: all of them, or those that stand in certain parts. */
function withoutDescriptions(schema, where = () => true) {
  return JSON.parse(JSON.stringify(schema), (_key, value) => {
    if (typeof value?.description !== "string" || !where(value)) return value;
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
