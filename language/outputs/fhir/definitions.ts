import { digestOfText, type RuleFile } from "@limbwright/shared/rule-file";
import { CAUTION, capital } from "@limbwright/shared/text";
import type { Whole } from "../../rule-file/protocol.ts";
import { MEANING, PROOF, PROTOCOL, stringOf } from "./elements.ts";
import type { Definition } from "./resources.ts";

/** A part of a protocol that stands in a Bundle in words only, or not at all, because FHIR R4 has no element for it. */
export interface NotCoded {
  readonly kept: "in-words" | "left-out";
  /** Which part, in the author's names: "dose local". */
  readonly part: string;
  /** What of it. */
  readonly what: string;
}

/** Takes note of what is not coded while resources are made. Every part is noted once. */
export class NotCodedList {
  readonly #noted = new Map<string, NotCoded>();

  inWords(part: string, what: string): void {
    this.#note({ kept: "in-words", part, what });
  }

  noteLeftOut(part: string, what: string): void {
    this.#note({ kept: "left-out", part, what });
  }

  /** What is left out stands first. */
  all(): NotCoded[] {
    const noted = [...this.#noted.values()];
    return [
      ...noted.filter(({ kept }) => kept === "left-out"),
      ...noted.filter(({ kept }) => kept === "in-words"),
    ];
  }

  #note(one: NotCoded): void {
    this.#noted.set(JSON.stringify(one), one);
  }
}

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

/**
 * The canonical URL of a definition: a UUID made from the SHA-256 digest of what names it (RFC 9562, version 8). It is the
 * same for every version of a protocol, as FHIR asks; hospital and name of the protocol tell protocols apart.
 */
export function canonicalUrl({ protocol }: RuleFile, element: string): string {
  const named = JSON.stringify(["limbwright", protocol.hospital ?? "", protocol.name, element]);
  const hex = digestOfText(named).slice("sha256:".length);
  const variant = "89ab"[Number.parseInt(hex.slice(16, 17), 16) % 4];
  const parts = [
    hex.slice(0, 8),
    hex.slice(8, 12),
    `8${hex.slice(13, 16)}`,
    `${variant}${hex.slice(17, 20)}`,
  ];
  return `urn:uuid:${[...parts, hex.slice(20, 32)].join("-")}`;
}

/** The digests of the rule file, so that a reader can compare what was approved, and the name that the protocol goes by. */
export function identifiersOf({ digests, protocol }: RuleFile): Definition["identifier"] {
  return [
    { type: { text: "Digest of what the protocol means" }, system: MEANING, value: digests.meaning },
    { type: { text: "Digest of what was proven" }, system: PROOF, value: digests.proof },
    { type: { text: "Name of the protocol" }, system: PROTOCOL, value: stringOf(protocol.name) },
  ];
}

/**
 * Where the protocol stands, in the codes of FHIR: what is in review is a draft. A file that was written as a draft is one,
 * whoever approved its text.
 */
function statusOf({ use, standing }: RuleFile): Definition["status"] {
  const { kind } = standing.status;
  if (kind === "retired") return "retired";
  return kind === "approved" && use === "protocol" ? "active" : "draft";
}

/** A name that programs can use: letters and digits, a capital first (invariant pdf-0). "wrist-reduction": WristReduction. */
function programName(...parts: readonly string[]): string {
  const words = parts.flatMap((part) => part.split(/[^A-Za-z0-9]+/)).filter((word) => word !== "");
  const name = words.map(capital).join("");
  return (/^[A-Z]/.test(name) ? name : `P${name}`).slice(0, 255);
}
