/** The smallest tile archive there is: one picture for the whole world [PMTiles version 3 specification]. */
import { deflateSync } from 'node:zlib';

const HEADER_BYTES = 127;
const KIND = { png: 2 } as const;
const NO_COMPRESSION = 1;

/** An archive whose one tile, zoom 0, is all of one colour. */
export function smallArchive(rgb: readonly [number, number, number], attribution: string): Buffer {
  const tile = plainPng(rgb, 256);
  const metadata = Buffer.from(JSON.stringify({ attribution }));
  // One entry, as variable-length integers: tile id, run length, length, offset + 1.
  const directory = Buffer.from([1, 0, 1, ...varint(tile.length), 1]);
  const header = Buffer.alloc(HEADER_BYTES);
  header.write('PMTiles', 0, 'latin1');
  header.writeUInt8(3, 7);
  const sections = [directory.length, metadata.length, 0, tile.length];
  let at = HEADER_BYTES;
  sections.forEach((length, i) => {
    header.writeBigUInt64LE(BigInt(at), 8 + 16 * i);
    header.writeBigUInt64LE(BigInt(length), 16 + 16 * i);
    at += length;
  });
  for (const offset of [72, 80, 88]) header.writeBigUInt64LE(1n, offset);
  header.writeUInt8(1, 96);
  header.writeUInt8(NO_COMPRESSION, 97);
  header.writeUInt8(NO_COMPRESSION, 98);
  header.writeUInt8(KIND.png, 99);
  const degrees = [-180, -85, 180, 85];
  degrees.forEach((degree, i) => {
    header.writeInt32LE(degree * 1e7, 102 + 4 * i);
  });
  return Buffer.concat([header, directory, metadata, tile]);
}

/** A square picture of one colour [PNG, W3C Recommendation, third edition]. */
export function plainPng(rgb: readonly [number, number, number], side_px: number): Buffer {
  const line = Buffer.from([0, ...Array.from({ length: side_px }, () => rgb).flat()]);
  const pixels = deflateSync(Buffer.concat(Array.from({ length: side_px }, () => line)));
  const shape = Buffer.alloc(13);
  shape.writeUInt32BE(side_px, 0);
  shape.writeUInt32BE(side_px, 4);
  shape.set([8, 2, 0, 0, 0], 8);
  const signature = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
  return Buffer.concat([
    signature,
    chunk('IHDR', shape),
    chunk('IDAT', pixels),
    chunk('IEND', Buffer.alloc(0)),
  ]);
}

function chunk(name: string, content: Buffer): Buffer {
  const length = Buffer.alloc(4);
  length.writeUInt32BE(content.length);
  const named = Buffer.concat([Buffer.from(name, 'latin1'), content]);
  const sum = Buffer.alloc(4);
  sum.writeUInt32BE(crc32(named));
  return Buffer.concat([length, named, sum]);
}

/** CRC-32 with the reversed polynomial 0xEDB88320 [PNG, annex D]. */
function crc32(bytes: Buffer): number {
  let crc = 0xffffffff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit++) crc = (crc >>> 1) ^ (crc & 1 ? 0xedb88320 : 0);
  }
  return (crc ^ 0xffffffff) >>> 0;
}

function varint(number: number): number[] {
  const bytes: number[] = [];
  let left = number;
  for (; left >= 0x80; left >>>= 7) bytes.push((left & 0x7f) | 0x80);
  return [...bytes, left];
}
