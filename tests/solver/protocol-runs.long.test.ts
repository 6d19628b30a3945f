import { testAgainstWalks } from "./protocol-runs-suite.ts";

testAgainstWalks({ protocols: 700, mostStates: 40_000 }, 100_000);
