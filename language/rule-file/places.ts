import type { Origin } from "@limbwright/shared/finding";
import type { RuleFile } from "@limbwright/shared/rule-file";

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
