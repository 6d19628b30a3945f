/** A text in bytes, to be compared four at a time: most rows of a large record are known by that. */
export interface PlainBytes {
  readonly length: number;
  /** Four bytes each, the first the highest. */
  readonly words: readonly number[];
  readonly rest: readonly number[];
}

/** Whether some bytes stand at a place of a piece. */
export function isAt(piece: DataView, at: number, { length, words, rest }: PlainBytes): boolean {
  if (at + length > piece.byteLength) return false;
  let place = at;
  for (let index = 0; index < words.length; index += 1) {
    if (piece.getUint32(place) !== words[index]) return false;
    place += 4;
  }
  for (let index = 0; index < rest.length; index += 1) {
    if (piece.getUint8(place + index) !== rest[index]) return false;
  }
  return true;
}

/** A text in bytes; undefined where that needs more than one a character. */
export function plainBytes(text: string): PlainBytes | undefined {
  if (!PLAIN.test(text)) return undefined;
  const { length } = text;
  const words: number[] = [];
  const rest: number[] = [];
  let at = 0;
  for (; at + 4 <= length; at += 4) {
    const high = (text.charCodeAt(at) << 8) | text.charCodeAt(at + 1);
    const low = (text.charCodeAt(at + 2) << 8) | text.charCodeAt(at + 3);
    words.push((high << 16) | low);
  }
  for (; at < length; at += 1) rest.push(text.charCodeAt(at));
  return { length, words, rest };
}

const PLAIN = /^[\x20-\x7e\n]*$/;
