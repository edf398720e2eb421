/** Bytes of a text file → text, for files that come from all sorts of programs. */
import { failure, type Result, success } from '../../core/errors.ts';
import { binaryKind } from '../../core/read/file-signature.ts';

export interface DecodedText {
  readonly text: string;
  readonly encoding: 'utf-8' | 'utf-16le' | 'utf-16be' | 'windows-1252';
}

/** As many bytes as show that a file is a picture, an archive or another binary. */
const HEAD_LENGTH = 4096;

/** Longer texts no engine holds in one piece. */
const MOST_TEXT_BYTES = 400 * 2 ** 20;

/**
 * The text of a file that ought to be one. Fails with `not_text` when its first bytes are those of something else, with
 * `text_too_large` when it is no file to be read as one text.
 */
export function decodeTextFile(bytes: Uint8Array, source: string): Result<DecodedText> {
  if (bytes.length > MOST_TEXT_BYTES) {
    const text = `${source} is larger than ${MOST_TEXT_BYTES / 2 ** 20} MB, more than a table or an outline may have; split it into several files.`;
    return failure({ code: 'text_too_large', source, text });
  }
  const kind = hasWideMark(bytes) ? undefined : binaryKind(bytes.subarray(0, HEAD_LENGTH));
  if (kind === undefined) return success(decodeText(bytes));
  return failure({
    code: 'not_text',
    source,
    text: `${source} should be text, but looks like ${kind}.`,
  });
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

/** The mark with which UTF-16, in which spreadsheets save too, begins. */
function hasWideMark([first, second]: Uint8Array): boolean {
  return (first === 0xff && second === 0xfe) || (first === 0xfe && second === 0xff);
}

function decoded(bytes: Uint8Array, encoding: DecodedText['encoding']): DecodedText {
  return { text: new TextDecoder(encoding).decode(bytes), encoding };
}
