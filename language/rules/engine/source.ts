/**
 * Where a value or a rule of practice is published. `seen` tells how far that was read: the passage
 * itself, only an abstract, another text that reports it, or not at all (written from memory). Common
 * practice without a source says so.
 */
export interface Source {
  readonly title: string;
  readonly address?: string;
  readonly seen:
    | "passage read"
    | "abstract read"
    | "reported elsewhere"
    | "from memory"
    | "common practice, no source";
  /** What it says, with its own numbers. */
  readonly says: string;
}
