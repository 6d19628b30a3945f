/** Types of `rule-page.mjs`, for the tests that use it. */
import type { StatedRule } from "../../language/rules/engine/definition.ts";
import type { Hazard } from "../../language/rules/hazards/hazards.ts";
import type { Citation, Source } from "../../language/rules/sources/sources.ts";

export interface Known {
  readonly sources: Readonly<Record<string, Source>>;
  readonly shared: Readonly<Record<string, readonly Citation[]>>;
  readonly hazards: readonly string[];
}

export function readRulePage(
  id: string,
  text: string,
  known: Known,
): { readonly stated: StatedRule; readonly page: string };

export function readSources(file: string, text: string): Record<string, Source>;

export function readHazards(file: string, text: string, rules: readonly string[]): Hazard[];
