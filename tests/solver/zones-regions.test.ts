import { testAgainstRegions } from "./zones-regions-suite.ts";

testAgainstRegions({ regions: 300, earliest: 100 }, 40_000);
