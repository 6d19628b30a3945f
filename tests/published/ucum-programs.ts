import { createRequire } from "node:module";
import { ucum as independent } from "@atomic-ehr/ucum";

/*
 * The Unified Code for Units of Measure (https://ucum.org/ucum), as two independent programs read it:
 * @lhncbc/ucum-lhc of the US National Library of Medicine, and @atomic-ehr/ucum.
 */
interface Reference {
  validateUnitString(code: string): { readonly status: string };
  convertUnitTo(from: string, value: number, to: string): { readonly toVal: number | null };
}
const require = createRequire(import.meta.url);
const { UcumLhcUtils } = require("@lhncbc/ucum-lhc") as {
  readonly UcumLhcUtils: { getInstance(): Reference };
};
export const reference = UcumLhcUtils.getInstance();

/** Whether each of the two programs knows a code. */
export function isValidCode(code: string): boolean[] {
  return [reference.validateUnitString(code).status === "valid", isValidForIndependent(code)];
}

function isValidForIndependent(code: string): boolean {
  try {
    return independent.validate(code).valid;
  } catch {
    return false;
  }
}
