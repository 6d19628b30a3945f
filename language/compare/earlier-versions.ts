import { textFindingsBefore } from "../check/judged.ts";
import { type ReadText, Site, type SiteFile } from "../lower/site.ts";
import type { Protocol } from "../model/index.ts";
import type { ComparedWithEarlier } from "../rules/engine/definition.ts";
import type { ComparingOptions, EarlierVersions } from "../rules/engine/earlier-versions.ts";
import { type ComparedSite, type ProtocolWithEarlier, withEarlier } from "./compare-sites.ts";
import { countsText, isUndecided, type ProtocolComparison } from "./comparison.ts";
import type { CompiledVersion } from "./compiled-version.ts";
import { isWrittenAlike, writtenText } from "./same.ts";
import type { ComparedSideJudged } from "./side.ts";

/** The texts of an earlier version, by the paths that the files have now. */
export interface EarlierTexts {
  /** For sentences: "`HEAD`", "the last commit". */
  readonly name: string;
  /** What tells it from any other version. */
  readonly key: string;
  /** Every `.limb` file; all of them may be read for that. */
  readonly files: () => readonly string[];
  /** Whether a file belongs to it, whether or not it can be read. */
  readonly holds: (file: string) => boolean;
  /** The text of a file that belongs to it, or that one of those uses. */
  readonly textOf: ReadText;
  /** Whether a file says just this in it, or, for `undefined`, is not in it; where that costs less than its text. */
  readonly hasText?: (file: string, text: string | undefined) => boolean;
  /** Why a file that is in it cannot be read. */
  readonly whyUnread?: (file: string) => string | undefined;
  /** Protocols that are kept as their rule files, beside those of the files. */
  readonly compiled?: readonly CompiledVersion[];
  /** Whether a file is there no more, and what it declared may have another name now; `names` are those of its protocols. */
  readonly isGone?: (file: string, names: readonly string[]) => boolean;
  /** Why nothing of it can be read, where it is there. */
  readonly refusal?: () => string | undefined;
}

/**
 * How protocols of a site compare with their earlier versions, for the rules that ask; each is compared when it is asked for, and
 * only where the texts differ. The earlier version of a protocol is the one of its name, or the only other one, in the file of its
 * path; else the one of its name in any file or rule file; else, of what is gone, the one that says nearly the same.
 */
export function earlierVersions(texts: EarlierTexts, now: Site): EarlierVersions {
  let site: Site | undefined;
  const siteBefore = () => {
    site ??= new Site(texts.textOf);
    return site;
  };
  const judged = new EarlierJudged();
  return {
    of: (protocol, options) => {
      const { file } = protocol.nameOrigin;
      const refusal = texts.refusal?.();
      if (refusal !== undefined) return () => ({ kind: "not-compared", limit: refusal });
      if (isUntouched(texts, now, file)) return undefined;
      const before = siteBefore();
      const unread = whyUnknown(texts, before, protocol);
      const found = withEarlier(
        { site: before, ...concerned(texts, before, protocol), name: texts.name },
        { site: now, files: [file], name: "what is checked" },
        protocol.name,
      );
      if (!found) return unread === undefined ? undefined : () => ({ kind: "not-compared", limit: unread });
      if (saysTheSame(before, found, protocol)) return undefined;
      return (explored) => {
        const earlier = judged.of(found, options);
        return comparedWith(found.compare(earlier, explored, options), texts.name);
      };
    },
    restsOn: (file) => {
      const isKnown = !texts.holds(file) || isUntouched(texts, now, file);
      const renamed = isKnown ? [] : renamedIn(siteBefore(), now, file);
      return JSON.stringify([texts.key, ...renamed]);
    },
  };
}

/** How many are kept: an editor asks again and again for those of one file. */
const KEPT = 4;

/** Earlier versions as they were judged last, since each edit of the later one asks for the same. */
class EarlierJudged {
  readonly #known = new Map<string, ComparedSideJudged>();
  /** Of whoever asks now: runs that nobody asked for yet are gone through later. */
  #isCancelled = () => false;

  of(
    { before, judgeBefore }: ProtocolWithEarlier,
    { on, isCancelled }: ComparingOptions,
  ): ComparedSideJudged {
    // What was interrupted last may have been cut short.
    if (this.#isCancelled()) this.#known.clear();
    this.#isCancelled = isCancelled ?? (() => false);
    const { name, nameOrigin } = before;
    const key = `${on} ${nameOrigin.file} ${nameOrigin.start.offset} ${name}`;
    const known = this.#known.get(key) ?? judgeBefore({ on, isCancelled: () => this.#isCancelled() });
    this.#known.delete(key);
    this.#known.set(key, known);
    const [oldest] = this.#known.keys();
    if (this.#known.size > KEPT && oldest !== undefined) this.#known.delete(oldest);
    return known;
  }
}

/** Whether a file and all that it uses, or asks for in vain, are as they were. */
function isUntouched({ holds, textOf, hasText }: EarlierTexts, now: Site, file: string): boolean {
  const read = now.file(file);
  const isSame = hasText ?? ((one, text) => textOf(one) === text);
  return (
    read !== undefined &&
    holds(file) &&
    [file, ...read.uses].every((one) => isSame(one, now.textOf(one))) &&
    read.missing.every((one) => isSame(one, undefined))
  );
}

/** Why it cannot be said whether a protocol had an earlier version in the file of its path, where it is not found there. */
function whyUnknown({ holds, textOf, whyUnread, name }: EarlierTexts, before: Site, protocol: Protocol) {
  const { file } = protocol.nameOrigin;
  if (!holds(file)) return undefined;
  if (textOf(file) === undefined) return whyUnread?.(file);
  const error = before.file(file)?.problems.find(({ severity }) => (severity ?? "error") === "error");
  return error && `${file} could not be understood in ${name}: ${error.what}`;
}

/**
 * The file of its path, and if that does not have the protocol, those that declare one of its name, or keep it as a rule file. Where
 * there is none of its name, all that is gone: it may be one of these under another name.
 */
function concerned(
  texts: EarlierTexts,
  before: Site,
  { name, nameOrigin }: Protocol,
): Pick<ComparedSite, "files" | "compiled"> {
  const { compiled = [], isGone = () => false } = texts;
  const files = filesOfName(texts, before, name, nameOrigin.file);
  const kept = compiled.filter(({ protocol }) => protocol.name === name);
  const isKnown = kept.length > 0 || files.some((file) => namesIn(before.file(file)).includes(name));
  if (isKnown) return { files, compiled: kept };
  return {
    files: [
      ...new Set([...files, ...texts.files().filter((file) => isGone(file, namesIn(before.file(file))))]),
    ],
    compiled: compiled.filter(({ protocol }) => isGone(protocol.nameOrigin.file, [protocol.name])),
  };
}

function filesOfName(texts: EarlierTexts, before: Site, name: string, file: string): string[] {
  const here = texts.holds(file) && texts.textOf(file) !== undefined ? [file] : [];
  if (here.some((one) => namesIn(before.file(one)).includes(name))) return here;
  // Reading it all costs more than looking for the name, which most files do not have.
  const mentioning = texts.files().filter((one) => one !== file && texts.textOf(one)?.includes(name));
  return [...here, ...mentioning.filter((one) => namesIn(before.file(one)).includes(name)).slice(0, 1)];
}

/** What could not be understood may be what is otherwise. */
function saysTheSame(before: Site, earlier: ProtocolWithEarlier, now: Protocol): boolean {
  const read = before.file(earlier.before.nameOrigin.file);
  const wasUnderstood =
    read && textFindingsBefore(before, read).every(({ severity }) => severity !== "error");
  return Boolean(wasUnderstood) && isWrittenAlike(earlier.before, now);
}

/** Where a file lost protocols and has new ones, which of them is another renamed hangs on what all of the new ones say. */
function renamedIn(before: Site, now: Site, file: string): string[] {
  const [old, recent] = [before.file(file), now.file(file)];
  const lost = namesIn(old).filter((name) => !namesIn(recent).includes(name));
  const found = recent?.protocols.filter(({ name }) => !namesIn(old).includes(name)) ?? [];
  return lost.length > 0 ? found.map(writtenText) : [];
}

function namesIn(read: SiteFile | undefined): string[] {
  return read?.protocols.map(({ name }) => name) ?? [];
}

function comparedWith(comparison: ProtocolComparison, name: string): ComparedWithEarlier {
  const { changes, version, notCompared } = comparison;
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
