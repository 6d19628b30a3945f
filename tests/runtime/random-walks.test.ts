import { randomWalksSuite } from "./random-walks-suite.ts";

randomWalksSuite({ protocols: 30, walksEach: 12, mostStates: 1_500 }, 1);
