import { ALWAYS, all, LEAKED, not, type WatchedCheck } from "../../runs/index.ts";

/**
 * What nobody goes on after: a need that is not met, a limb without a cuff. The run is followed no further,
 * so that one slip is reported once. After a leak it is followed all the same: what is lacking then comes of
 * the leak, and the answer to it still has to be judged.
 */
export function endingUnlessLeaked({ when = ALWAYS, ...check }: WatchedCheck): WatchedCheck[] {
  return [
    { ...check, when: all(when, not(LEAKED)), endsRun: true },
    { ...check, when: all(when, LEAKED) },
  ];
}
