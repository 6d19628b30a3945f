import type { Protocol } from "../model/index.ts";
import type { Renamed } from "./names.ts";
import { bothSides, type FoundChange, type Sides } from "./side.ts";

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
    ...text("name", before.name, now.name),
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
