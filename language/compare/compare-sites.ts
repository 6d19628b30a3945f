import { judgementsOf, textFindingsBefore } from "../check/judged.ts";
import type { Site } from "../lower/site.ts";
import type { Protocol } from "../model/index.ts";
import type { JudgeOptions } from "../rules/engine/judge.ts";
import type { RunsFor } from "../rules/engine/runs-for.ts";
import { compareProtocols, onlyOneSide } from "./compare-protocols.ts";
import type { NotCompared, ProtocolComparison } from "./comparison.ts";
import { type CompiledVersion, judgedVersion } from "./compiled-version.ts";
import { alikePairs, type Likeness, statementsOf } from "./likeness.ts";
import { pairedBy } from "./pairing.ts";
import { writtenText } from "./same.ts";
import type { ComparedSideJudged, SideJudged } from "./side.ts";

/** One version of a site: the files to compare, and how to read any other file they use. */
export interface ComparedSite {
  readonly site: Site;
  readonly files: readonly string[];
  /** Protocols that are kept as their rule files, beside those of the files. */
  readonly compiled?: readonly CompiledVersion[];
  /** For sentences: "HEAD", "the folder `approved`". */
  readonly name: string;
}

export interface CompareOptions {
  /** The day on which both are judged, YYYY-MM-DD. */
  readonly on: string;
  /** Only the protocol of this name. */
  readonly protocol?: string;
  readonly isCancelled?: () => boolean;
}

/** A protocol of a comparison, with both sides as they were judged, for pictures. */
export interface ComparedProtocol {
  readonly comparison: ProtocolComparison;
  readonly before?: SideJudged;
  readonly now?: SideJudged;
}

/**
 * Compares two versions of a site, protocol by protocol, in the order of their names. Returns the limits that belong to no
 * one protocol: files that could not be read. What only one pair needed is forgotten after it.
 */
export function* compareSites(
  before: ComparedSite,
  now: ComparedSite,
  options: CompareOptions,
): Generator<ComparedProtocol, readonly NotCompared[]> {
  const [old, recent] = [foundIn(before, "before"), foundIn(now, "now")];
  for (const pair of pairs(old.places, recent.places, { ...options, areAlone: true })) {
    yield compared(before.site, now.site, pair, options);
  }
  return [...old.unread, ...recent.unread];
}

/** The earlier version of a protocol, and how to compare the two. */
export interface ProtocolWithEarlier {
  readonly before: Protocol;
  readonly judgeBefore: (options: CompareOptions) => ComparedSideJudged;
  /** `explored`: the runs of the later protocol, for others ask for them too. */
  readonly compare: (
    before: ComparedSideJudged,
    explored: RunsFor,
    options: CompareOptions,
  ) => ProtocolComparison;
}

/** Finds the earlier version of a protocol as `compareSites` does; undefined where there is none. */
export function withEarlier(
  before: ComparedSite,
  now: ComparedSite,
  protocol: string,
): ProtocolWithEarlier | undefined {
  const [old, recent] = [foundIn(before, "before"), foundIn(now, "now")];
  const found = pairs(old.places, recent.places, {}).find((pair) => pair.now?.name === protocol);
  if (!found?.before || !found.now) return undefined;
  const { before: earlier, now: later, likeness } = found;
  return {
    before: earlier.protocol,
    judgeBefore: (options) => sideOf(before.site, earlier, options),
    compare: (judged, explored, options) =>
      compareProtocols(judged, sideOf(now.site, later, options, explored), {
        ...options,
        ...(likeness && { likeness }),
      }),
  };
}

/** Where a protocol is declared, or the rule file in which it is kept. */
interface FoundProtocol {
  readonly name: string;
  readonly file: string;
  readonly protocol: Protocol;
  /** All that is said but its names; told only where no other has its name. */
  readonly meaning: () => string;
  readonly compiled?: CompiledVersion;
  /** Puts places that are equally alike in an order. */
  readonly key: string;
  readonly says: () => readonly string[];
}

interface ProtocolPair {
  readonly before?: FoundProtocol;
  readonly now?: FoundProtocol;
  /** Where they were taken for one because of what they say. */
  readonly likeness?: Likeness;
}

function foundIn({ site, files, compiled = [], name }: ComparedSite, side: "before" | "now") {
  const unread: NotCompared[] = [];
  const places = files.flatMap((file): FoundProtocol[] => {
    const read = site.file(file);
    if (!read) {
      unread.push({ side, limit: `${file} is not in ${name}` });
      return [];
    }
    const error = read.problems.find(({ severity }) => severity === undefined || severity === "error");
    if (read.protocols.length === 0 && error) {
      unread.push({ side, limit: `${file} could not be understood: ${error.what}`, origin: error.origin });
    }
    return read.protocols.map((protocol) => placeOf(protocol, file));
  });
  return { places: [...places, ...compiled.map((one) => placeOf(one.protocol, one.path, one))], unread };
}

function placeOf(protocol: Protocol, file: string, compiled?: CompiledVersion): FoundProtocol {
  const { name } = protocol;
  return {
    name,
    file,
    protocol,
    meaning: once(() => meaningKey(protocol)),
    ...(compiled && { compiled }),
    key: `${name} ${file}`,
    says: () => statementsOf(protocol),
  };
}

function once<T>(answer: () => T): () => T {
  let known: { readonly value: T } | undefined;
  return () => {
    known ??= { value: answer() };
    return known.value;
  };
}

/** What a protocol says apart from its name: by this it is known when it was renamed. */
function meaningKey(protocol: Protocol): string {
  const { name: _name, title: _title, version: _version, agents: _agents, ...says } = protocol;
  return writtenText(says);
}

/**
 * By name; then those that say the same under another name; then the only one left of the same file, or the only one that was given at
 * all (`areAlone`); then those that say nearly the same. What is left has no partner.
 */
function pairs(
  before: readonly FoundProtocol[],
  now: readonly FoundProtocol[],
  { protocol, areAlone }: Pick<CompareOptions, "protocol"> & { readonly areAlone?: true },
): ProtocolPair[] {
  const isAlone = (places: readonly FoundProtocol[], { file }: FoundProtocol) =>
    places.filter((one) => one.file === file).length === 1;
  const found = pairedBy(
    before,
    now,
    (a, b) => a.name === b.name && a.file === b.file,
    (a, b) => a.name === b.name,
    (a, b) => a.meaning() === b.meaning(),
    (a, b, { gone, added }) => a.file === b.file && isAlone(gone, a) && isAlone(added, b),
    () => areAlone === true && before.length === 1 && now.length === 1,
  );
  const { gone: old, added: recent } = found;
  const alike = alikePairs(old, recent);
  const isTaken = (place: FoundProtocol) => alike.some((pair) => pair.before === place || pair.now === place);
  const all: ProtocolPair[] = [
    ...found.pairs.map(([earlier, later]) => ({ before: earlier, now: later })),
    ...alike,
    ...old.filter((place) => !isTaken(place)).map((place) => ({ before: place })),
    ...recent.filter((place) => !isTaken(place)).map((place) => ({ now: place })),
  ];
  const nameOf = ({ before: a, now: b }: ProtocolPair) => (b ?? a)?.name ?? "";
  return all
    .filter((pair) => protocol === undefined || pair.now?.name === protocol || pair.before?.name === protocol)
    .sort((a, b) => (nameOf(a) < nameOf(b) ? -1 : 1));
}

function compared(old: Site, recent: Site, pair: ProtocolPair, options: CompareOptions): ComparedProtocol {
  const { likeness } = pair;
  if (!pair.before || !pair.now) {
    const side = pair.now ? "added" : "removed";
    const only = pair.now ?? pair.before;
    if (!only) throw new Error("a pair of no protocols");
    return { comparison: onlyOneSide(side, only) };
  }
  const before = sideOf(old, pair.before, options);
  const now = sideOf(recent, pair.now, options);
  return {
    comparison: compareProtocols(before, now, { ...options, ...(likeness && { likeness }) }),
    before,
    now,
  };
}

function sideOf(
  site: Site,
  { file, name, compiled }: FoundProtocol,
  { on, isCancelled }: CompareOptions,
  explored?: RunsFor,
): ComparedSideJudged {
  const options: JudgeOptions = {
    on,
    ...(isCancelled && { isCancelled }),
    ...(explored && { explored }),
  };
  if (compiled) {
    const judgement = judgedVersion(compiled, options);
    return { protocol: compiled.protocol, judgement, inTheText: [], compiled };
  }
  const read = site.file(file);
  const one = read && { ...read, protocols: read.protocols.filter((protocol) => protocol.name === name) };
  const [judgement] = one ? judgementsOf(site, one, options) : [];
  if (!read || !judgement) throw new Error("a protocol that was found is there no more");
  return { protocol: judgement.protocol, judgement, inTheText: textFindingsBefore(site, read) };
}
