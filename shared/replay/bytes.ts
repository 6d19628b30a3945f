/** Whether some bytes stand at a place of others. Most rows of a large record are known by this, so it is a plain loop. */
export function isAt(bytes: Uint8Array, at: number, wanted: Uint8Array): boolean {
  for (let index = 0; index < wanted.length; index += 1) {
    if (bytes[at + index] !== wanted[index]) return false;
  }
  return true;
}

/** A text in bytes; undefined where that needs more than one a character. */
export function plainBytes(text: string): Uint8Array<ArrayBuffer> | undefined {
  if (!PLAIN.test(text)) return undefined;
  const bytes = new Uint8Array(text.length);
  for (let index = 0; index < text.length; index += 1) bytes[index] = text.charCodeAt(index);
  return bytes;
}

const PLAIN = /^[\x20-\x7e\n]*$/;
