import { testAgainstRegions } from "./zones-regions-suite.ts";

testAgainstRegions({ regions: 10_000, earliest: 2_000 }, 60_000_000);
