import type { Requirement } from "../model/index.ts";
import { partedByKey } from "./parted.ts";
import { meaningText } from "./same.ts";
import { bothSides, type FoundChange, type Sides } from "./side.ts";

/** The hospital's own requirements. They are claims that are proven: no run is gained or lost by one alone. */
export function requirementChanges({ before, now }: Sides): FoundChange[] {
  const same = partedByKey(before.requirements, now.requirements, ({ property }) => meaningText(property));
  const titles = partedByKey(same.gone, same.added, ({ title }) => title);
  const about = ({ title }: Requirement) => `requirement “${title}”`;
  const told = ({ title }: Requirement) => title;
  return [
    ...same.pairs
      .filter(([old, recent]) => old.title !== recent.title)
      .map(
        ([old, recent]): FoundChange => ({
          kind: "wording",
          about: about(recent),
          what: `The requirement “${old.title}” is called “${recent.title}” now; it asks for the same.`,
          ...bothSides(old, recent, told),
        }),
      ),
    ...titles.pairs.map(
      ([old, recent]): FoundChange => ({
        kind: "different",
        about: about(recent),
        what: `The requirement “${recent.title}” asks for something else now.`,
        ...bothSides(old, recent, told),
      }),
    ),
    ...titles.gone.map(
      (old): FoundChange => ({
        kind: "different",
        about: about(old),
        what: `The requirement “${old.title}” is no longer there: nobody proves it any more.`,
        ...bothSides(old, undefined, told),
      }),
    ),
    ...titles.added.map(
      (recent): FoundChange => ({
        kind: "different",
        about: about(recent),
        what: `The requirement “${recent.title}” is new.`,
        ...bothSides(undefined, recent, told),
      }),
    ),
  ];
}
