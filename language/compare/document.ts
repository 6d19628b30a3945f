import type { Protocol } from "../model/index.ts";
import type { Likeness } from "./likeness.ts";
import type { Renamed } from "./names.ts";
import { bothSides, type FoundChange, type Sides } from "./side.ts";

/** Where two names were taken for one protocol by what it says, a person has to say whether it is one. */
export function nameChange(before: Protocol, now: Protocol, likeness: Likeness | undefined): FoundChange[] {
  if (before.name === now.name) return [];
  const renamed = `The protocol is called \`${now.name}\` now; before, \`${before.name}\`.`;
  const why =
    likeness &&
    `It is taken for the same one, for no other is so like it: of ${likeness.all} statements that the two make, both make ${likeness.common}.`;
  return [
    {
      kind: why === undefined ? "wording" : "needs-a-reader",
      about: "name",
      what: why === undefined ? renamed : `${renamed} ${why}`,
      before: { says: before.name, origin: before.nameOrigin },
      now: { says: now.name, origin: now.nameOrigin },
    },
  ];
}

/** What the document says of itself. Status and review date change without the protocol meaning anything else. */
export function documentChanges({ before, now }: Sides): FoundChange[] {
  const text = (
    about: string,
    old: string | undefined,
    recent: string | undefined,
    isStanding = false,
  ): FoundChange[] =>
    old === recent
      ? []
      : [
          {
            kind: "wording",
            about,
            what: `The ${about} is ${recent ?? "not stated"} now; before, ${old ?? "not stated"}.`,
            before: { says: old ?? "not stated", origin: before.nameOrigin },
            now: { says: recent ?? "not stated", origin: now.nameOrigin },
            isStanding,
          },
        ];
  return [
    ...text("title", before.title, now.title),
    ...text("hospital", before.hospital?.value, now.hospital?.value),
    ...text("owner", before.owner?.value, now.owner?.value),
    ...text("status", statusText(before), statusText(now), true),
    ...text("day of review", before.reviewBy?.value, now.reviewBy?.value, true),
  ];
}

/** "approved by Governance on 2026-11-01". */
export function statusText({ status }: Protocol): string | undefined {
  const value = status?.value;
  return value?.kind === "approved" ? `approved by ${value.by} on ${value.on}` : value?.kind;
}

export function renamedChanges(renamed: readonly Renamed[]): FoundChange[] {
  return renamed.map(({ kind, before, now }) => ({
    kind: "wording",
    about: `${kind} \`${now.name}\``,
    what: `The ${kind} \`${before.name}\` is called \`${now.name}\` now.`,
    ...bothSides(before, now, ({ name }) => name),
  }));
}
