import { Trouble } from "../workspace/trouble.ts";

/** What a command that is about one protocol was given, and what it makes of it. */
export interface Choice {
  /** The file as it was named. */
  readonly file: string;
  /** The protocol that was asked for. */
  readonly protocol: string | undefined;
  /** "no dose table": what a file without a protocol has. */
  readonly nothing: string;
}

/** The result for the one protocol of a file, or for the one that was asked for. Throws `Trouble` where that is not clear. */
export function chosenProtocol<Result extends { readonly protocol: string }>(
  results: readonly Result[],
  { file, protocol, nothing }: Choice,
): Result {
  const fitting = protocol === undefined ? results : results.filter((one) => one.protocol === protocol);
  const [result] = fitting;
  if (result && fitting.length === 1) return result;
  const names = results.map((one) => one.protocol);
  throw new Trouble({
    file,
    what:
      names.length === 0
        ? `${file} declares no protocol, so it has ${nothing}.`
        : protocol === undefined
          ? `${file} declares several protocols: ${names.join(", ")}.`
          : `${file} declares no protocol ${protocol}; it has ${names.join(", ")}.`,
    next: names.length === 0 ? "Name a file with a protocol in it." : "Choose one with --protocol NAME.",
  });
}
