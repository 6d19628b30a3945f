import { fileURLToPath } from "node:url";

const here = (path) => fileURLToPath(new URL(path, import.meta.url));

export const LIMB = here("../../../server/bin/limb.cjs");
export const PROTOCOL = here("site/wrist-reduction.limb");
export const SITE = here("site");
export const PEAK_MEMORY = here("peak-memory.cjs");
export const PARSE_CSV = here("peers/parse-csv.mjs");
export const PARSE_CSV_ROWS = here("peers/parse-csv-rows.mjs");
export const MAKE_CASES = here("../../../examples/tarn-hollow/cases/make-cases.mjs");
export const WRIST = here("../../../examples/tarn-hollow/protocols/wrist-reduction.limb");
export const EXPLORE_MODEL = here("explore-model.mjs");
export const TYPESPEC = fileURLToPath(new URL("../../cmd/tsp.js", import.meta.resolve("@typespec/compiler")));
export const TYPESPEC_SCHEMA = here("peers/protocol.tsp");
export const CHECK_YAML = here("peers/check-yaml.mjs");
export const YAML = here("peers/protocol.yaml");

/** Nothing found, or nothing found but something not decided. */
export const CLEAN = [0, 3];
