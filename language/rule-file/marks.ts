import type { Origin } from "@limbwright/shared/finding";
import { pointer, type RuleFile } from "@limbwright/shared/rule-file";

/** Where the members of an object that have no place of their own (texts, numbers) are written. */
type Members = Readonly<Record<string, Origin | undefined>>;

/**
 * Remembers, while the content of a rule file is built, where each part is written; once everything stands at
 * its place, the source map is told from it.
 */
export class Marks {
  readonly #places = new Map<object, Origin>();
  readonly #members = new Map<object, Members>();

  /** Notes where a part is written, and gives the part back. */
  at<T extends object>(part: T, origin: Origin | undefined, members?: Members): T {
    if (origin) this.#places.set(part, origin);
    if (members) this.#members.set(part, members);
    return part;
  }

  /** The places of all parts of a file by their JSON Pointer, in the order of the pointers. */
  placesIn(file: object): Map<string, Origin> {
    const found = new Map<string, Origin>();
    this.#collect(file, "", found);
    return found;
  }

  #collect(part: object, path: string, found: Map<string, Origin>): void {
    const place = this.#places.get(part);
    if (place) found.set(path, place);
    for (const [key, origin] of Object.entries(this.#members.get(part) ?? {})) {
      if (origin) found.set(pointer(path, key), origin);
    }
    for (const [key, inner] of Object.entries(part)) {
      if (typeof inner === "object" && inner !== null) this.#collect(inner, pointer(path, key), found);
    }
  }
}

/** The source map of places, with the files they are in; `digestOf` gives the digest of a file's text. */
export function sourceMapOf(
  places: ReadonlyMap<string, Origin>,
  digestOf: (file: string) => string,
): Pick<RuleFile, "sources" | "origins"> {
  const files = [...new Set([...places.values()].map(({ file }) => file))].sort();
  const place = ({ line, column }: Origin["start"]) => ({ line, column });
  return {
    sources: files.map((file) => ({ file, digest: digestOf(file) })),
    origins: Object.fromEntries(
      [...places].map(([path, { file, start, end }]) => [
        path,
        { source: files.indexOf(file), start: place(start), end: place(end) },
      ]),
    ),
  };
}

/**
 * Where the parts of a rule file were written, by its source map. A part that is not in the map has the place
 * of what it belongs to.
 */
export class Places {
  readonly #file: Pick<RuleFile, "origins" | "sources">;

  constructor(file: Pick<RuleFile, "origins" | "sources">) {
    this.#file = file;
  }

  at(path: string): Origin {
    const found = this.#file.origins[path];
    if (!found) return path === "" ? NOWHERE : this.at(path.slice(0, path.lastIndexOf("/")));
    return {
      file: this.#file.sources[found.source]?.file ?? "",
      start: placeOf(found.start),
      end: placeOf(found.end),
    };
  }
}

const NOWHERE: Origin = {
  file: "",
  start: placeOf({ line: 1, column: 1 }),
  end: placeOf({ line: 1, column: 1 }),
};

/** A file holds no offsets; this one keeps places in their order and apart from one another. */
function placeOf({ line, column }: { readonly line: number; readonly column: number }): Origin["start"] {
  return { line, column, offset: line * 2 ** 20 + column };
}
