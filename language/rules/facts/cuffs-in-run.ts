import type { Protocol } from "../../model/index.ts";
import { cuffNames, cuffVariable, type Run, UP } from "../../runs/index.ts";

/** The cuffs that are up where a shown run ends, proximal first. */
export function cuffsUpAfter({ variables }: Run, protocol: Protocol): string[] {
  return cuffNames(protocol).filter((cuff) => (variables[cuffVariable(cuff)] ?? 0) >= UP);
}

/** "`proximal`", "`proximal` and `distal`". */
export function cuffsText(cuffs: readonly string[]): string {
  return cuffs.map((cuff) => `\`${cuff}\``).join(" and ");
}

/** "`proximal` is up", "`proximal` and `distal` are up". */
export function areUpText(cuffs: readonly string[]): string {
  return `${cuffsText(cuffs)} ${areText(cuffs)} up`;
}

/** "`distal` is flat". */
export function areFlatText(cuffs: readonly string[]): string {
  return `${cuffsText(cuffs)} ${areText(cuffs)} flat`;
}

/** "is" or "are", by how many there are. */
export function areText(cuffs: readonly string[]): string {
  return cuffs.length === 1 ? "is" : "are";
}
