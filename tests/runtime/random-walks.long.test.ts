import { randomWalksSuite } from "./random-walks-suite.ts";

randomWalksSuite({ protocols: 150, walksEach: 30, mostStates: 6_000 }, 10_000);
