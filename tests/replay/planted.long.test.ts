import { plantedSuite } from "./planted-suite.ts";

plantedSuite(10_000, 20);
