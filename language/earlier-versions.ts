import type { ProtocolComparison } from "./compare/comparison.ts";
import { type ComparedSite, type CompareOptions, compareSites } from "./compare-sites.ts";
import type { Protocol } from "./model/index.ts";
import { isUndecided } from "./outputs/comparison/report.ts";
import { countsText } from "./outputs/comparison/words.ts";
import type { ComparedWithEarlier } from "./rules/rule.ts";

/**
 * How each protocol of a site compares with its earlier version, for the rules that ask. Compares all of them at once; a protocol
 * that the earlier site does not have has no earlier version.
 */
export function earlierVersions(
  before: ComparedSite,
  now: ComparedSite,
  options: CompareOptions,
): (protocol: Protocol) => ComparedWithEarlier {
  const known = new Map<string, ComparedWithEarlier>();
  const earlier = { ...before, ...concerned(before, now) };
  for (const { comparison } of compareSites(earlier, now, options)) {
    if (comparison.now) known.set(keyOf(comparison.now), comparedWith(comparison, before.name));
  }
  return (protocol) =>
    known.get(keyOf({ name: protocol.name, origin: protocol.nameOrigin })) ?? { kind: "none" };
}

/**
 * Of a whole revision, what has to do with what is checked now: files of the same path, protocols of the same name, and, where one that is
 * checked has no namesake, all whose file is gone, for it may be one of these under another name.
 */
function concerned(before: ComparedSite, now: ComparedSite): Pick<ComparedSite, "files" | "compiled"> {
  const names = new Set(now.files.flatMap((file) => namesIn(now, file)));
  const compiled = before.compiled ?? [];
  const known = new Set([
    ...before.files.flatMap((file) => namesIn(before, file)),
    ...compiled.map(({ protocol }) => protocol.name),
  ]);
  const hasNew = [...names].some((name) => !known.has(name));
  const isGone = (file: string) => hasNew && now.site.file(file) === undefined;
  return {
    files: before.files.filter(
      (file) =>
        now.files.includes(file) || namesIn(before, file).some((name) => names.has(name)) || isGone(file),
    ),
    compiled: compiled.filter(({ protocol }) => names.has(protocol.name) || isGone(protocol.nameOrigin.file)),
  };
}

function namesIn({ site }: ComparedSite, file: string): string[] {
  return site.file(file)?.protocols.map(({ name }) => name) ?? [];
}

function keyOf({ name, origin }: NonNullable<ProtocolComparison["now"]>): string {
  return `${origin.file}:${origin.start.offset}:${name}`;
}

function comparedWith(comparison: ProtocolComparison, name: string): ComparedWithEarlier {
  const { outcome, changes, version, notCompared } = comparison;
  if (outcome === "added") return { kind: "none" };
  const { before, needed, raised, isEnough } = version;
  const [limit] = [
    ...notCompared.map((one) => one.limit),
    ...changes.flatMap(({ notDecided }) => notDecided ?? []),
  ];
  return {
    kind: "compared",
    name,
    needed,
    raised,
    isEnough,
    says: countsText(changes),
    ...(before !== undefined && { before }),
    ...(isUndecided(comparison) && { limit: limit ?? "not everything could be compared" }),
  };
}
