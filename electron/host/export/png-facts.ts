/** What a PNG says beside its pixels: how large it is on paper, and texts [PNG 3rd edition, W3C 2025, §11.3]. */
import { crc32 } from 'node:zlib';

export interface PngFacts {
  readonly dots_per_m: number;
  /** Keywords of the standard with their texts. */
  readonly texts: readonly (readonly [keyword: string, text: string])[];
}

/** Signature, and the header chunk that comes first: 8 + 4 + 4 + 13 + 4 bytes. */
const HEAD_BYTES = 33;

/** The same picture with these facts behind its header. Throws RangeError for bytes that are no PNG. */
export function withPngFacts(png: Uint8Array, { dots_per_m, texts }: PngFacts): Uint8Array {
  if (png.length < HEAD_BYTES || png[1] !== 0x50 || png[2] !== 0x4e || png[3] !== 0x47)
    throw new RangeError('facts are added to a PNG, and these bytes are none');
  const size = Buffer.alloc(9);
  size.writeUInt32BE(dots_per_m, 0);
  size.writeUInt32BE(dots_per_m, 4);
  size.writeUInt8(1, 8);
  return Buffer.concat([
    png.subarray(0, HEAD_BYTES),
    chunk('pHYs', size),
    ...texts.map(([keyword, text]) =>
      // keyword, not compressed, no language, no translated keyword
      chunk(
        'iTXt',
        Buffer.concat([Buffer.from(`${keyword}\0\0\0\0\0`, 'latin1'), Buffer.from(text, 'utf8')]),
      ),
    ),
    png.subarray(HEAD_BYTES),
  ]);
}

function chunk(name: string, content: Uint8Array): Uint8Array {
  const bytes = Buffer.alloc(12 + content.length);
  bytes.writeUInt32BE(content.length, 0);
  bytes.write(name, 4, 'latin1');
  bytes.set(content, 8);
  bytes.writeUInt32BE(crc32(bytes.subarray(4, 8 + content.length)), 8 + content.length);
  return bytes;
}
