import { digestOfText, type RuleFile } from "@limbwright/shared/rule-file";
import type { Definition } from "./resources.ts";
import { MEANING, PROOF, PROTOCOL } from "./systems.ts";
import { stringOf } from "./texts.ts";

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
export function statusOf({ use, standing }: RuleFile): Definition["status"] {
  const { kind } = standing.status;
  if (kind === "retired") return "retired";
  return kind === "approved" && use === "protocol" ? "active" : "draft";
}

/** A name that programs can use: letters and digits, a capital first (invariant pdf-0). "wrist-reduction": WristReduction. */
export function programName(...parts: readonly string[]): string {
  const words = parts.flatMap((part) => part.split(/[^A-Za-z0-9]+/)).filter((word) => word !== "");
  const name = words.map((word) => word.slice(0, 1).toUpperCase() + word.slice(1)).join("");
  return (/^[A-Z]/.test(name) ? name : `P${name}`).slice(0, 255);
}
