import { testAgainstRegions } from "./zones-regions-suite.ts";

testAgainstRegions({ regions: 4_000, earliest: 800 }, 60_000_000);
