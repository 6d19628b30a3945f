/**
 * A text in which a value or a rule of practice is published. `seen` tells how far it was read: the passage
 * itself, only an abstract, another text that reports it, or not at all (written from memory). What is common
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
}
