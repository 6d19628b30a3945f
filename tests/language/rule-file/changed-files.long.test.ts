import { changedFilesSuite } from "./changed-files-suite.ts";

changedFilesSuite(1200);
