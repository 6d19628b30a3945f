import type { Place } from "@limbwright/shared/finding";
import type { Site } from "../lower/site.ts";
import { catalogue } from "../rules/catalogue.ts";

/** Where an acceptance would be written, and how it reads. */
export interface PlaceToAccept {
  readonly file: string;
  /** Before the brace that closes the local rules. */
  readonly at: Place;
  readonly text: (reason: {
    readonly because: string;
    readonly by: string;
    readonly until: string;
  }) => string;
}

/**
 * Where a finding of a rule about a protocol can be accepted: in its local rules. Undefined where it has none, or where
 * nobody may accept such a finding.
 */
export function acceptanceFor(
  site: Site,
  file: string,
  protocol: string,
  rule: string,
): PlaceToAccept | undefined {
  const isAcceptable = catalogue.some(({ id, acceptable }) => id === rule && acceptable !== false);
  const localRules = site.file(file)?.protocols.find(({ name }) => name === protocol)?.localRules;
  if (!isAcceptable || !localRules) return undefined;
  const { origin } = localRules;
  const { line, column, offset } = origin.end;
  const at = { line, column: column - 1, offset: offset - 1 };
  if (site.textOf(origin.file)[at.offset] !== "}") return undefined;
  return {
    file: origin.file,
    at,
    text: ({ because, by, until }) =>
      `  accept ${rule} in ${protocol}\n    because "${because}" by "${by}" until ${until}\n`,
  };
}
