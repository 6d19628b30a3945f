import { testAgainstWalks } from "./protocol-runs-suite.ts";

testAgainstWalks({ protocols: 350, mostStates: 40_000 }, 100_000);
