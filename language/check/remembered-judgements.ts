import type { Protocol } from "../model/index.ts";
import { movementBetween, moveOrigins } from "../model/moved.ts";
import type { JudgedProtocol } from "./judged.ts";

interface Remembered {
  readonly protocol: Protocol;
  readonly restsOn: string;
  readonly judged: JudgedProtocol;
}

/** The protocols of one file, and how one of them is judged. */
export interface ToJudge {
  readonly file: string;
  readonly protocols: readonly Protocol[];
  /** All that the judging rests on beside the protocol, in words that are others when it is another. */
  readonly restsOn: string;
  readonly judge: (protocol: Protocol) => JudgedProtocol;
  /** Whether what was judged last was cut short: it is not kept. */
  readonly isCancelled: () => boolean;
}

/** How many judgements of a protocol are kept: a slip while typing, and its repair, change what the others rest on. */
const KEPT = 4;

/**
 * What was found about the protocols of files, for as long as they say the same, wherever in their files they stand: a
 * change of one protocol then costs the judging of that one, though others share its file. What is given is the same as
 * without it.
 */
export class RememberedJudgements {
  readonly #files = new Map<string, ReadonlyMap<string, readonly Remembered[]>>();

  /** What is found about each protocol of a file, judged only where it is not known. */
  of({ file, protocols, restsOn, judge, isCancelled }: ToJudge): JudgedProtocol[] {
    const before = this.#files.get(file);
    const now = new Map<string, readonly Remembered[]>();
    const judged = protocols.map((protocol) => {
      const key = keyIn(now, protocol.name);
      const known = before?.get(key) ?? [];
      const same = known.find((one) => one.restsOn === restsOn);
      const found = (same && stillTrue(same, protocol)) ?? judge(protocol);
      const others = known.filter((one) => one !== same);
      const kept = isCancelled() ? known : [{ protocol, restsOn, judged: found }, ...others];
      now.set(key, kept.slice(0, KEPT));
      return found;
    });
    this.#files.set(file, now);
    return judged;
  }

  /** Lets go of a file. */
  forget(file: string): void {
    this.#files.delete(file);
  }
}

/** The name of a protocol; of several with one name, which of them it is. */
function keyIn(known: ReadonlyMap<string, unknown>, name: string): string {
  let key = name;
  while (known.has(key)) key += "+";
  return key;
}

function stillTrue({ protocol: before, judged }: Remembered, now: Protocol): JudgedProtocol | undefined {
  const movement = movementBetween(before, now);
  return movement && moveOrigins(judged, movement);
}
