import { testAgainstWalks } from "./protocol-runs-suite.ts";

testAgainstWalks({ protocols: 3_000, mostStates: 40_000 }, 100_000);
