import { coldRuns } from "../cold-runs.mjs";
import { CLEAN, LIMB, PROTOCOL } from "../material/paths.mjs";
import { comparedWith } from "../row.mjs";

/** One process checking one protocol of 150 lines, against a Node process that does nothing. */
export function measure() {
  const [bare, check] = coldRuns(
    [
      { what: "bare node", arguments: ["-e", "0"] },
      { what: "limb check, 150 lines", arguments: [LIMB, "check", PROTOCOL], codes: CLEAN },
    ],
    21,
  );
  return [bare, comparedWith(bare, check, 3.5)];
}
