import type { RuleFile } from "@limbwright/shared/rule-file";
import { CAUTION } from "@limbwright/shared/text";
import type { Whole } from "../../rule-file/protocol.ts";
import { canonicalUrl, identifiersOf, programName, statusOf } from "./identity.ts";
import type { NotCodedList } from "./not-coded.ts";
import type { Definition } from "./resources.ts";
import { stringOf } from "./texts.ts";

/** A protocol on its way into a Bundle: the model, its rule file, and what is not coded so far. */
export interface Interchange {
  readonly protocol: Whole;
  readonly file: RuleFile;
  readonly notCoded: NotCodedList;
}

/** What every definition of a Bundle says of itself. `element` tells it apart in the protocol, `id` in the Bundle. */
export function definitionOf(
  { file }: Interchange,
  { element, id, title }: { readonly element: string; readonly id: string; readonly title: string },
): Definition {
  const { protocol, use } = file;
  const { hospital } = protocol;
  return {
    id,
    url: canonicalUrl(file, element),
    identifier: identifiersOf(file),
    version: protocol.version,
    name: programName(protocol.name, element),
    title: stringOf(use === "draft" ? `Draft – not for use: ${title}` : title),
    status: statusOf(file),
    ...(use === "draft" && { experimental: true }),
    ...(hospital !== undefined && { publisher: stringOf(hospital) }),
    usage: `${CAUTION} ${HOW_TO_READ}`,
  };
}

/** Markdown without any character that means something in it. */
const HOW_TO_READ =
  "Conditions are sentences for a person to judge. What this Bundle has in words only, or not at all, is listed in its OperationOutcome.";

/** How another resource of the Bundle is named by a definition. */
export function canonicalOf({ url, version }: Definition): string {
  return `${url}|${version}`;
}
