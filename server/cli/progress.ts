import type { Surroundings } from "./surroundings.ts";

/** Work that takes longer than this, in milliseconds, says how far it is, as often as this. */
const FIRST = 1000;
const BETWEEN = 200;

/** How far long work is, on a terminal, in one line that goes away again. */
export class Progress {
  private readonly surroundings: Surroundings;
  private readonly did: string;
  private readonly total: number;
  private readonly what: string;
  private readonly start: number;
  private done = 0;
  private lastShown = Number.NEGATIVE_INFINITY;
  private isShown = false;

  /** `did` is the word for one that is done, such as "Checked"; `what` is what is counted. */
  constructor(surroundings: Surroundings, did: string, total: number, what = "files") {
    this.surroundings = surroundings;
    this.did = did;
    this.total = total;
    this.what = what;
    this.start = surroundings.clock();
  }

  /** One more is done, or several. */
  step(by = 1): void {
    this.done += by;
    const { messages, clock } = this.surroundings;
    const now = clock();
    if (!messages.isTerminal || now - this.start < FIRST || now - this.lastShown < BETWEEN) return;
    this.lastShown = now;
    this.isShown = true;
    messages.write(
      `\r\u001b[K${this.did} ${Math.floor(this.done)} of ${Math.ceil(Math.max(this.total, this.done))} ${this.what}`,
    );
  }

  /** Takes the line away, before anything else is written. */
  clear(): void {
    if (this.isShown) this.surroundings.messages.write("\r\u001b[K");
    this.isShown = false;
  }
}
