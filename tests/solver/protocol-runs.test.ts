import { testAgainstWalks } from "./protocol-runs-suite.ts";

testAgainstWalks({ protocols: 40, mostStates: 12_000 }, 1_000);
