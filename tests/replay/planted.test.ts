import { plantedSuite } from "./planted-suite.ts";

plantedSuite(300, 1);
