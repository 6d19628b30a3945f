import { coldRuns } from "../cold-runs.mjs";
import { CHECK_YAML, CLEAN, LIMB, PROTOCOL, TYPESPEC, TYPESPEC_SCHEMA, YAML } from "../material/paths.mjs";
import { comparedWith } from "../row.mjs";

/**
 * Other ways to have a text of this length judged: a general schema compiler on a schema of as many lines, and
 * the protocol's content written as YAML and held against a JSON Schema, which knows types but no patients.
 */
export function measure() {
  const [bare, ...others] = coldRuns(
    [
      { what: "bare node", arguments: ["-e", "0"] },
      { what: "limb check, 150 lines", arguments: [LIMB, "check", PROTOCOL], codes: CLEAN },
      { what: "yaml and ajv, the same content", arguments: [CHECK_YAML, YAML] },
      {
        what: "@typespec/compiler, 150 lines",
        arguments: [TYPESPEC, "compile", TYPESPEC_SCHEMA, "--no-emit"],
      },
    ],
    9,
  );
  return [bare, ...others.map((other) => comparedWith(bare, other))];
}
