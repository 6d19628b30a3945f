import { testAgainstWalks } from "./protocol-runs-suite.ts";

testAgainstWalks({ protocols: 25, mostStates: 12_000 }, 1_000);
