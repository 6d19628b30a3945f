import type { Written } from "../model/index.ts";
import { partedByKey } from "./parted.ts";
import { bothSides, type FoundChange } from "./side.ts";

/** Texts of which only a person can say whether they still mean the same. */
export function textChanges(
  about: string,
  before: readonly Written<string>[],
  now: readonly Written<string>[],
): FoundChange[] {
  const { pairs, gone, added } = partedByKey(
    before,
    now,
    ({ value }) => value,
    ({ value }) => value,
  );
  const changed = pairs.filter(([old, recent]) => old.value !== recent.value);
  const change = (what: string, old?: Written<string>, recent?: Written<string>): FoundChange => ({
    kind: "needs-a-reader",
    about,
    what,
    ...bothSides(old, recent, ({ value }) => value),
  });
  return [
    ...changed.map(([old, recent]) =>
      change(`The ${about} reads “${recent.value}” now; before, “${old.value}”.`, old, recent),
    ),
    ...gone.map((old) => change(`The ${about} “${old.value}” is no longer there.`, old)),
    ...added.map((recent) => change(`The ${about} “${recent.value}” is new.`, undefined, recent)),
  ];
}

/** One text that may be missing on either side. */
export function textChange(
  about: string,
  before: Written<string> | undefined,
  now: Written<string> | undefined,
): FoundChange[] {
  return textChanges(about, before ? [before] : [], now ? [now] : []);
}
