/** Readers of what is packed or in bytes: gzip, zipped Shapefiles and their parts, packed seasons, column blocks. */
import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { decodeColumns } from '../../../core/column-wire.ts';
import { failure, type Result, success } from '../../../core/errors.ts';
import { readFieldOutlines } from '../../../core/import/field-outlines.ts';
import { unpackSeason } from '../../../electron/host/season-unpack.ts';
import { geojsonFromShapefile, shapefileInZip } from '../../../electron/host/shapefile.ts';
import { type GunzipBounds, Unpacker } from '../../../electron/host/unpacker.ts';
import { BOUNDARY_WORDS, boundaries, TICK_WORDS } from '../corpus.ts';
import type { FuzzTarget } from '../fuzz-target.ts';
import { deepNest, jsonMutation } from '../json-mutations.ts';
import {
  columnBlocks,
  dbfFiles,
  gzipFiles,
  prjFiles,
  SHAPE_WORDS,
  seasonZips,
  shapeZips,
  shpFiles,
  ZIP_WORDS,
} from '../packed-corpus.ts';
import { filesBelow, scratchFolder } from '../scratch-folder.ts';

/** Small, so that the corpus holds bombs. */
const BOUNDS: GunzipBounds = { most_times: 200, free_bytes: 1 << 20, most_bytes: 1 << 22 };

async function unpacked(bytes: Uint8Array): Promise<Result<unknown>> {
  const pieces: Buffer[] = [];
  const unpacker = new Unpacker('some.log.gz', (piece) => pieces.push(Buffer.from(piece)), BOUNDS);
  for (let at = 0; at < bytes.length; at += 4096) await unpacker.push(bytes.slice(at, at + 4096));
  const ended = await unpacker.finish();
  return ended.ok ? success(Buffer.concat(pieces), ended.notices) : ended;
}

function checkUnpacked(found: unknown, bytes: Uint8Array): string | undefined {
  const { length } = found as Buffer;
  const most = Math.max(bytes.length, BOUNDS.free_bytes, BOUNDS.most_times * bytes.length);
  return length > most ? `${length} bytes out of ${bytes.length}` : undefined;
}

async function fromZip(bytes: Uint8Array): Promise<Result<unknown>> {
  const zipped = await shapefileInZip(bytes, 'some.zip');
  return zipped.ok ? fromParts(zipped.value.parts) : zipped;
}

async function fromParts(parts: ReadonlyMap<string, Uint8Array>): Promise<Result<unknown>> {
  const geojson = await geojsonFromShapefile(parts, 'some.shp');
  return geojson.ok ? readFieldOutlines(geojson.value, 'some.shp') : geojson;
}

/** One of the three parts as it comes from the fuzzer, the others sound. */
function someParts(bytes: Uint8Array, choice: number): ReadonlyMap<string, Uint8Array> {
  const sound = new Map([
    ['shp', shpFiles()[1]],
    ['dbf', dbfFiles()[1]],
  ]);
  return sound.set(['shp', 'dbf', 'prj', 'cpg'][choice % 4], bytes);
}

/** Unpacks into an empty home; says what came of it, and fails when anything lies elsewhere or is left over. */
async function unpackedSeason(bytes: Uint8Array): Promise<Result<unknown>> {
  const folder = scratchFolder();
  const zip = join(folder, 'some.zip');
  const home = join(folder, 'a', 'home');
  mkdirSync(home, { recursive: true });
  writeFileSync(zip, bytes);
  try {
    const made = await unpackSeason(zip, home);
    const outside = filesBelow(folder).filter((path) => path !== 'some.zip' && !path.startsWith('a/home/'));
    if (outside.length > 0) throw new Error(`unpacked to ${outside[0]}`);
    const inside = filesBelow(home);
    if (!made.ok) {
      if (inside.length > 0) throw new Error(`refused, but left ${inside[0]}`);
      // paths of the scratch folder are of no interest
      const text = made.error.text.replaceAll(folder, '');
      return failure({ ...made.error, text }, made.notices);
    }
    const root = relative(home, made.value);
    if (root.includes('/') || root.startsWith('.')) throw new Error(`unpacked into ${root}`);
    const contents = inside.map((path) => [path, readFileSync(join(home, path), 'base64')]);
    return success(Object.fromEntries(contents), made.notices);
  } finally {
    rmSync(join(folder, 'a'), { recursive: true, force: true });
  }
}

export const PACKED_TARGETS: readonly FuzzTarget[] = [
  {
    name: 'gzip',
    corpus: gzipFiles,
    words: TICK_WORDS,
    ownMutations: [],
    read: unpacked,
    check: checkUnpacked,
    us_per_byte: 20,
    free_bytes: 2 * BOUNDS.free_bytes,
    share: 0.3,
  },
  {
    name: 'zipped Shapefile',
    corpus: shapeZips,
    words: ZIP_WORDS,
    ownMutations: [],
    read: fromZip,
    share: 0.5,
  },
  {
    name: 'Shapefile',
    corpus: () => [...shpFiles(), ...dbfFiles(), ...prjFiles()],
    words: SHAPE_WORDS,
    ownMutations: [],
    read: (bytes, _, choice) => fromParts(someParts(bytes, choice)),
  },
  {
    name: 'packed season',
    corpus: seasonZips,
    words: ZIP_WORDS,
    ownMutations: [],
    read: unpackedSeason,
    budget_ms: 1000,
    share: 0.06,
  },
  {
    name: 'outlines of fields',
    corpus: boundaries,
    words: [...BOUNDARY_WORDS, 'name', 'Field', 'crop'],
    ownMutations: [jsonMutation, jsonMutation, jsonMutation, deepNest],
    read: (bytes) => readFieldOutlines(Buffer.from(bytes).toString('utf8'), 'some.geojson'),
  },
  {
    name: 'column block',
    corpus: columnBlocks,
    words: ['SHFC', '"type":"f64"', '"at":8', '"name":"__proto__"'],
    ownMutations: [],
    read: decodeColumns,
  },
];
