import { type Finding, isAtLeast, type Origin, type Place } from "@limbwright/shared/finding";
import type { Document } from "../grammar/generated/ast.ts";
import type { Site } from "../lower/site.ts";
import { catalogue } from "../rules/catalogue.ts";
import { isAcceptable } from "../rules/engine/acceptances.ts";
import { originOfRange } from "./folds.ts";

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

/** Where the block ends whose first words stand at an origin; undefined where its brace is missing. */
function closingBrace(site: Site, heading: Origin): Place | undefined {
  const document = site.documentOf(heading.file);
  const elements = (document?.parseResult.value as Document | undefined)?.elements ?? [];
  const block = elements.find(({ $cstNode }) => $cstNode?.offset === heading.start.offset);
  const end = (block?.$cstNode?.end ?? 0) - 1;
  return document?.textDocument.getText()[end] === "}"
    ? originOfRange(document, { offset: end, end }).start
    : undefined;
}

/**
 * Where a finding of a rule about a protocol can be accepted: in its local rules. Undefined where it has none, or where
 * nobody may accept such a finding.
 */
export function acceptanceFor(
  site: Site,
  file: string,
  protocol: string,
  { rule, severity }: Pick<Finding, "rule" | "severity">,
): PlaceToAccept | undefined {
  // What is unsafe is accepted by two roles and by its own name: a quick repair is no place for that.
  if (isAtLeast(severity, "unsafe")) return undefined;
  const mayBe = catalogue.some((one) => one.id === rule && isAcceptable(one, severity));
  const localRules = site.file(file)?.protocols.find(({ name }) => name === protocol)?.localRules;
  if (!mayBe || !localRules) return undefined;
  const { origin } = localRules;
  const at = closingBrace(site, origin);
  return (
    at && {
      file: origin.file,
      at,
      text: ({ because, by, until }) =>
        `  accept ${rule} in ${protocol}\n    because "${because}" by "${by}" until ${until}\n`,
    }
  );
}
