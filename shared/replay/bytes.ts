/** A text in bytes, to be compared four at a time: most rows of a large record are known by that. */
export interface PlainBytes {
  readonly length: number;
  readonly words: Uint32Array;
  readonly rest: Uint8Array;
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
  const bytes = new Uint8Array(length);
  for (let index = 0; index < length; index += 1) bytes[index] = text.charCodeAt(index);
  const piece = new DataView(bytes.buffer);
  const words = new Uint32Array(length >> 2);
  for (let index = 0; index < words.length; index += 1) words[index] = piece.getUint32(index * 4);
  return { length, words, rest: bytes.subarray(words.length * 4) };
}

const PLAIN = /^[\x20-\x7e\n]*$/;
