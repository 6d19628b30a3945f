import type { Origin } from "@limbwright/shared/finding";

/** Tells two places in the texts apart. */
export function originKey({ file, start, end }: Origin): string {
  return `${file}:${start.offset}-${end.offset}`;
}
