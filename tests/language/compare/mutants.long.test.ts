import { readdirSync } from "node:fs";
import { testMutants } from "./mutants-suite.ts";

const PROTOCOLS = readdirSync(new URL("../../../examples/tarn-hollow/protocols", import.meta.url));

testMutants(
  PROTOCOLS.map((file) => `protocols/${file}`),
  1,
);
