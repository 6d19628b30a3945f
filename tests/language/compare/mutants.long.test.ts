import { readdirSync } from "node:fs";
import { testMutants } from "./mutants-suite.ts";
import { WRIST } from "./two-versions.ts";

const PROTOCOLS = readdirSync(new URL("../../../examples/tarn-hollow/protocols", import.meta.url))
  .map((file) => `protocols/${file}`)
  .filter((file) => file !== WRIST);

testMutants([WRIST], 1);
testMutants(PROTOCOLS, 3);
