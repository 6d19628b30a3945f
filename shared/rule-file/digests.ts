import { sha256 } from "@noble/hashes/sha2.js";
import { bytesToHex, utf8ToBytes } from "@noble/hashes/utils.js";
import canonicalize from "canonicalize";
import type { Protocol, RuleFile } from "./generated/rule-file.ts";

/** What the digest of the proof is taken of: a file without its protocol, which its meaning stands for. */
type ProofPart = Omit<RuleFile, "digests" | Left> & {
  readonly digests: Pick<RuleFile["digests"], "meaning">;
};

type Left = "protocol" | "sources" | "origins" | "extra";

/** The digest of a protocol apart from where and how it is written. */
export function meaningOf(protocol: Protocol): string {
  return digestOf(canonicalText(protocol));
}

/**
 * The digest of what was proven: the canonical form of the file without `digests.proof`, `protocol`,
 * `sources`, `origins` and `extra`. The meaning's digest is in it, so the proof belongs to one protocol.
 */
export function proofOf(file: ProofPart & Partial<Pick<RuleFile, Left>>): string {
  const { protocol: _protocol, sources: _sources, origins: _origins, extra: _extra, ...part } = file;
  return digestOf(canonicalText({ ...part, digests: { meaning: file.digests.meaning } }));
}

/** The digest of a source text: the same for LF, CR and CRLF line ends, with or without a byte order mark. */
export function digestOfText(text: string): string {
  return digestOf(text.replace(/^\uFEFF/, "").replace(/\r\n?/g, "\n"));
}

/**
 * A JSON value in the one form that RFC 8785 gives it: no spaces, keys in order, so that equal values are
 * equal texts. Throws where there is no such form (a lone surrogate, a number that is not finite).
 */
export function canonicalText(value: unknown): string {
  const text = canonicalize(value);
  if (text === undefined) throw new TypeError("only a JSON value has a canonical form");
  return text;
}

function digestOf(text: string): string {
  return `sha256:${bytesToHex(sha256(utf8ToBytes(text)))}`;
}
