import { clockText } from "../quantity/index.ts";
import type { BrokenRule } from "../runtime/index.ts";
import { listText } from "../text/index.ts";

/** "`a`, `b` and `c`". */
function listNames(names: readonly string[]): string {
  return listText(names.map((name) => `\`${name}\``));
}

export function wordsForLeftOut(steps: readonly string[], before: string, at: number): string {
  const are = steps.length === 1 ? "is" : "are";
  return `${listNames(steps)} ${are} not recorded before \`${before}\` at ${clockText(at)}.`;
}

export function orderWords(what: string, before: readonly string[], at: number): string {
  return `\`${what}\` came at ${clockText(at)}, before ${listNames(before)}.`;
}

export function outOfPlaceWords(what: string, at: number, next: readonly string[]): string {
  const instead =
    next.length > 0 ? ` The protocol has ${next.map((one) => `\`${one}\``).join(" or ")} there.` : "";
  return `\`${what}\` came at ${clockText(at)}, where the protocol does not have it.${instead}`;
}

export function earlyWords(what: string, at: number, by: number, cut: string | undefined): string {
  const because = cut === undefined || cut === what ? "" : `: \`${cut}\` was not over`;
  return `\`${what}\` came at ${clockText(at)}, ${clockText(by)} too early${because}.`;
}

export function lateWords(what: string, at: number, by: number, due: string | undefined): string {
  const because = due === undefined || due === what ? "" : `, after \`${due}\` was due`;
  return `\`${what}\` came at ${clockText(at)}, ${clockText(by)} too late${because}.`;
}

export function breaksWords(what: string, at: number, rules: readonly BrokenRule[]): string {
  return `\`${what}\` at ${clockText(at)} breaks ${listNames([...new Set(rules.map(({ rule }) => rule))])}.`;
}

export function leakWords(what: string, at: number): string {
  return `\`${what}\` at ${clockText(at)}: a release that nobody planned.`;
}
