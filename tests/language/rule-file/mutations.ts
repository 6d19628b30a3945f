import { meaningOf, pointer, proofOf, type RuleFile, valueAt } from "@limbwright/shared/rule-file";

export type Json = null | boolean | number | string | Json[] | { [key: string]: Json };

/** A value that a test may change, however deep. */
export type Changeable<T> = T extends object ? { -readonly [Key in keyof T]: Changeable<T[Key]> } : T;

/** Every place in a JSON value, as JSON Pointers; the whole value is "". */
export function placesIn(value: Json, path = ""): string[] {
  if (typeof value !== "object" || value === null) return [path];
  return [path, ...Object.entries(value).flatMap(([key, inner]) => placesIn(inner, pointer(path, key)))];
}

/** A copy with one place changed; `change` gives undefined to take the place away. */
export function changedAt(value: Json, path: string, change: (old: Json) => Json | undefined): Json {
  if (path === "") return change(value) ?? null;
  const [, first = "", ...rest] = path.split("/");
  const key = first.replaceAll("~1", "/").replaceAll("~0", "~");
  const copy = Array.isArray(value) ? [...value] : { ...(value as Record<string, Json>) };
  const members = copy as Record<string, Json>;
  const below = rest.length > 0 ? `/${rest.join("/")}` : "";
  if (below !== "") {
    members[key] = changedAt(members[key] ?? null, below, change);
    return copy;
  }
  const changed = change(members[key] ?? null);
  if (changed !== undefined) members[key] = changed;
  else if (Array.isArray(copy)) copy.splice(Number(key), 1);
  else delete members[key];
  return copy;
}

/** The same without the places of what is no longer there. */
export function withoutLostPlaces(file: Json): Json {
  const kept = structuredClone(file) as unknown as Changeable<RuleFile>;
  for (const path of Object.keys(kept.origins)) {
    if (valueAt(kept, path) === undefined) delete kept.origins[path];
  }
  return kept as unknown as Json;
}

/** What a forger would do: both digests computed again for the changed contents. */
export function withDigestsOf(file: Json): Json {
  const forged = structuredClone(file) as unknown as Changeable<RuleFile>;
  forged.digests.meaning = meaningOf(forged.protocol);
  forged.digests.proof = proofOf(forged);
  return forged as unknown as Json;
}
