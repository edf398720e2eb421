/** What a file that is no log gives itself away as by its first bytes. */

interface Signature {
  /** Completes the sentence "it looks like …". */
  readonly what: string;
  readonly bytes: readonly number[];
  /** Where `bytes` stand; 0 when absent. */
  readonly at?: number;
}

/** First bytes of common file kinds, from their published format descriptions. */
const SIGNATURES: readonly Signature[] = [
  { what: 'a photo (JPEG)', bytes: [0xff, 0xd8, 0xff] },
  { what: 'a picture (PNG)', bytes: [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a] },
  { what: 'a picture (GIF)', bytes: [0x47, 0x49, 0x46, 0x38] },
  { what: 'a picture (TIFF)', bytes: [0x49, 0x49, 0x2a, 0x00] },
  { what: 'a picture (TIFF)', bytes: [0x4d, 0x4d, 0x00, 0x2a] },
  { what: 'a picture (WebP)', bytes: [0x57, 0x45, 0x42, 0x50], at: 8 },
  { what: 'a photo or film from a phone (HEIC, MP4)', bytes: [0x66, 0x74, 0x79, 0x70], at: 4 },
  {
    what: 'a zip archive or an office document (unpack it, or export the sheet as CSV)',
    bytes: [0x50, 0x4b, 0x03, 0x04],
  },
  { what: 'a file that is still compressed with gzip (its name should end in .gz)', bytes: [0x1f, 0x8b] },
  { what: 'a 7-Zip archive', bytes: [0x37, 0x7a, 0xbc, 0xaf] },
  { what: 'a RAR archive', bytes: [0x52, 0x61, 0x72, 0x21] },
  { what: 'a PDF document', bytes: [0x25, 0x50, 0x44, 0x46] },
  { what: 'an old office document (export the sheet as CSV)', bytes: [0xd0, 0xcf, 0x11, 0xe0] },
  { what: 'a database (SQLite)', bytes: [0x53, 0x51, 0x4c, 0x69, 0x74, 0x65] },
  { what: 'a web page', bytes: [0x3c, 0x21, 0x44, 0x4f, 0x43] },
  { what: 'a web page', bytes: [0x3c, 0x68, 0x74, 0x6d, 0x6c] },
  { what: 'text of two bytes a letter (UTF-16; save it as plain text, UTF-8)', bytes: [0xff, 0xfe] },
  { what: 'text of two bytes a letter (UTF-16; save it as plain text, UTF-8)', bytes: [0xfe, 0xff] },
];

/** A text log has next to no control characters; so many of them are a binary file. A choice of ours. */
const BINARY_SHARE = 0.1;

/**
 * What the file is, when its first bytes show that it cannot be a text log: words that complete "it looks like …".
 * `undefined` for anything that may be text. NUL bytes do not count: damaged logs are full of them.
 */
export function binaryKind(head: Uint8Array): string | undefined {
  for (const { what, bytes, at = 0 } of SIGNATURES) {
    if (bytes.every((byte, i) => head[at + i] === byte)) return what;
  }
  let control = 0;
  for (const byte of head) {
    if (byte !== 0 && byte !== 9 && byte !== 10 && byte !== 13 && (byte < 32 || byte === 127)) control++;
  }
  return control > BINARY_SHARE * head.length ? 'a binary file, not text' : undefined;
}
