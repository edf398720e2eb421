/**
 * Images of one picture as a TIFF [TIFF 6.0] laid out for reading by ranges [OGC 21-026]: all directories first, the full image's
 * before those of its reduced copies; then the tiles, the smallest copy's first, each with its length before it and its last four
 * bytes repeated after it, as the note at the head of the file says.
 */
import { strToU8, zlibSync } from 'fflate';
import type { Raster } from './geotiff-raster.ts';

/** A tag with what it holds; `short` 16 bits, `long` 32 bits. */
export type TiffTag =
  | { readonly tag: number; readonly kind: 'short' | 'long' | 'double'; readonly numbers: readonly number[] }
  | { readonly tag: number; readonly kind: 'ascii'; readonly text: string };

export interface PackedLevel {
  readonly width: number;
  readonly height: number;
  readonly bands: number;
  /** Deflated, row by row of tiles. */
  readonly tiles: readonly Uint8Array[];
}

const TILE = 256;
const TYPES = { ascii: 2, short: 3, long: 4, double: 12 } as const;
const BYTES = { ascii: 1, short: 2, long: 4, double: 8 } as const;
const ENTRY_BYTES = 12;
const LEADER_BYTES = 4;
const LAYOUT =
  'LAYOUT=IFDS_BEFORE_DATA\nBLOCK_ORDER=ROW_MAJOR\nBLOCK_LEADER=SIZE_AS_UINT4\n' +
  'BLOCK_TRAILER=LAST_4_BYTES_REPEATED\nKNOWN_INCOMPATIBLE_EDITION=NO\n ';
const HEADER_BYTES = 8;
const DEFLATE = 8;
const FLOAT = 3;

/** Bands lie side by side in a pixel; what a tile reaches beyond the image repeats nothing: it is zero. */
export function packedTiles({ width, height, planes }: Raster): PackedLevel {
  const tiles: Uint8Array[] = [];
  for (let top = 0; top < height; top += TILE) {
    for (let left = 0; left < width; left += TILE) {
      const view = new DataView(new ArrayBuffer(TILE * TILE * planes.length * 4));
      for (let y = top; y < Math.min(height, top + TILE); y++) {
        for (let x = left; x < Math.min(width, left + TILE); x++) {
          const at = ((y - top) * TILE + (x - left)) * planes.length;
          planes.forEach((plane, band) => {
            view.setFloat32(4 * (at + band), plane[y * width + x], true);
          });
        }
      }
      tiles.push(zlibSync(new Uint8Array(view.buffer)));
    }
  }
  return { width, height, bands: planes.length, tiles };
}

/** `tags` go into the directory of the full image, the first level; `noData` into all. */
export function* tiffPieces(
  levels: readonly PackedLevel[],
  tags: readonly TiffTag[],
  noData: string,
): Generator<Uint8Array> {
  const note = strToU8(
    `GDAL_STRUCTURAL_METADATA_SIZE=${String(LAYOUT.length).padStart(6, '0')} bytes\n${LAYOUT}`,
  );
  const first = even(HEADER_BYTES + note.length);
  const head = new Uint8Array(first);
  head.set([0x49, 0x49, 42, 0]);
  new DataView(head.buffer).setUint32(4, first, true);
  head.set(note, HEADER_BYTES);
  yield head;
  // offsets take the same room whatever they are, so that a directory's size is known before its tiles have a place
  const lists = levels.map((level, k) =>
    directoryTags(level, k === 0 ? tags : [], { isCopy: k > 0, noData }),
  );
  const sizes = lists.map((list) => directory(list, 0, 0).length);
  const end = sizes.reduce((sum, size) => sum + size, first);
  const offsets = tileOffsets(levels, end);
  let at = first;
  for (const [k, list] of lists.entries()) {
    const next = k + 1 < lists.length ? at + sizes[k] : 0;
    const placed = list.map((tag) => (tag.tag === TILE_OFFSETS ? longs(TILE_OFFSETS, offsets[k]) : tag));
    yield directory(placed, at, next);
    at += sizes[k];
  }
  for (const { tiles } of levels.toReversed()) for (const tile of tiles) yield framed(tile);
}

const TILE_OFFSETS = 324;

function directoryTags(
  { width, height, bands, tiles }: PackedLevel,
  own: readonly TiffTag[],
  { isCopy, noData }: { readonly isCopy: boolean; readonly noData: string },
): TiffTag[] {
  const short = (tag: number, ...numbers: number[]): TiffTag => ({ tag, kind: 'short', numbers });
  const each = (number: number) => new Array<number>(bands).fill(number);
  const tags: TiffTag[] = [
    longs(254, [isCopy ? 1 : 0]),
    longs(256, [width]),
    longs(257, [height]),
    short(258, ...each(32)),
    short(259, DEFLATE),
    short(262, 1),
    short(277, bands),
    short(284, 1),
    short(322, TILE),
    short(323, TILE),
    longs(
      TILE_OFFSETS,
      tiles.map(() => 0),
    ),
    longs(
      325,
      tiles.map((tile) => tile.length),
    ),
    short(339, ...each(FLOAT)),
    { tag: 42_113, kind: 'ascii', text: noData },
    ...(bands > 1 ? [short(338, ...each(0).slice(1))] : []),
    ...own,
  ];
  return tags.sort((a, b) => a.tag - b.tag);
}

function longs(tag: number, numbers: readonly number[]): TiffTag {
  return { tag, kind: 'long', numbers };
}

/** Where each tile begins, behind its leader; the smallest copy's come first. */
function tileOffsets(levels: readonly PackedLevel[], from: number): number[][] {
  let at = from;
  const reversed = levels.toReversed().map(({ tiles }) =>
    tiles.map((tile) => {
      const offset = at + LEADER_BYTES;
      at += framedBytes(tile);
      return offset;
    }),
  );
  return reversed.toReversed();
}

function framed(tile: Uint8Array): Uint8Array {
  const bytes = new Uint8Array(framedBytes(tile));
  new DataView(bytes.buffer).setUint32(0, tile.length, true);
  bytes.set(tile, LEADER_BYTES);
  bytes.set(tile.subarray(-LEADER_BYTES), LEADER_BYTES + tile.length);
  return bytes;
}

function framedBytes(tile: Uint8Array): number {
  return tile.length + 2 * LEADER_BYTES;
}

/** A directory that begins at `at` of the file, with what does not fit into its entries behind them. */
function directory(tags: readonly TiffTag[], at: number, next: number): Uint8Array {
  const contents = tags.map(content);
  const entriesEnd = 2 + ENTRY_BYTES * tags.length + 4;
  const behind = contents.map(({ length }) => (length > 4 ? even(length) : 0));
  const bytes = new Uint8Array(behind.reduce((sum, length) => sum + length, even(entriesEnd)));
  const view = new DataView(bytes.buffer);
  view.setUint16(0, tags.length, true);
  let free = even(entriesEnd);
  tags.forEach(({ tag, kind }, k) => {
    const entry = 2 + ENTRY_BYTES * k;
    view.setUint16(entry, tag, true);
    view.setUint16(entry + 2, TYPES[kind], true);
    view.setUint32(entry + 4, contents[k].length / BYTES[kind], true);
    if (behind[k] === 0) bytes.set(contents[k], entry + 8);
    else {
      view.setUint32(entry + 8, at + free, true);
      bytes.set(contents[k], free);
      free += behind[k];
    }
  });
  view.setUint32(entriesEnd - 4, next, true);
  return bytes;
}

function content(tag: TiffTag): Uint8Array {
  if (tag.kind === 'ascii') return strToU8(`${tag.text.replaceAll('\0', ' ')}\0`);
  const size = BYTES[tag.kind];
  const view = new DataView(new ArrayBuffer(size * tag.numbers.length));
  tag.numbers.forEach((number, k) => {
    if (tag.kind === 'short') view.setUint16(size * k, number, true);
    else if (tag.kind === 'long') view.setUint32(size * k, number, true);
    else view.setFloat64(size * k, number, true);
  });
  return new Uint8Array(view.buffer);
}

function even(offset: number): number {
  return offset + (offset % 2);
}
