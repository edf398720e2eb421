/** Bytes of a text file → text, for files that come from all sorts of programs. */

export interface DecodedText {
  readonly text: string;
  readonly encoding: 'utf-8' | 'utf-16le' | 'utf-16be' | 'windows-1252';
}

/**
 * UTF-16 when a byte-order mark says so, UTF-8 when the bytes are valid, else Windows-1252 (which any byte sequence
 * is). The mark itself is dropped.
 */
export function decodeText(bytes: Uint8Array): DecodedText {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return decoded(bytes, 'utf-16le');
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return decoded(bytes, 'utf-16be');
  try {
    return { text: new TextDecoder('utf-8', { fatal: true }).decode(bytes), encoding: 'utf-8' };
  } catch {
    return decoded(bytes, 'windows-1252');
  }
}

function decoded(bytes: Uint8Array, encoding: DecodedText['encoding']): DecodedText {
  return { text: new TextDecoder(encoding).decode(bytes), encoding };
}
