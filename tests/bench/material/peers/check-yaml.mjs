// What a site would write without a language of its own: YAML, held against a JSON Schema.

import { readFileSync } from "node:fs";
import Ajv2020 from "ajv/dist/2020.js";
import { parse } from "yaml";

const schema = JSON.parse(readFileSync(new URL("protocol.schema.json", import.meta.url), "utf8"));
const validate = new Ajv2020({ allErrors: true }).compile(schema);
const protocol = parse(readFileSync(process.argv[2], "utf8"));

if (!validate(protocol)) {
  console.error(validate.errors);
  process.exit(1);
}
