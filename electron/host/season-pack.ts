/** A season as one zip to mail or keep: sheet and inputs, the same bytes whenever and wherever it is packed. */
import { open, readFile } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { Zip, ZipDeflate, type ZipInputFile, ZipPassThrough } from 'fflate';
import { failure, type Result, success } from '../../core/errors.ts';
import { SEASON_FILE } from '../../core/season-file.ts';
import { type InputFile, inputFiles } from './season-files.ts';
import { openSeasonFolder } from './season-folder.ts';

export interface PackedSeason {
  /** `<folder>.zip` */
  readonly name: string;
  /** The zip, made as it is taken. Throws when a file cannot be read any more. */
  readonly pieces: AsyncIterable<Uint8Array>;
}

/** Read at a time. The same pieces give the same packed bytes. */
const PIECE_BYTES = 1 << 18;
/** Without zip64, a zip ends at 4 GiB and 65,535 entries [APPNOTE 4.4]; some room for what stands around the files. */
const MOST_BYTES = 4 * 2 ** 30 - 64 * 2 ** 20;
const MOST_FILES = 65_000;
/** Packing again what is packed costs time and gains nothing. */
const PACKED = /\.(gz|zip|png|jpe?g)$/i;

/**
 * Packs the season in `path`: `season.json` as it stands on the disk, then the inputs by path, all in a folder of the
 * season folder's name. What is made from them (`cache`, `out`), locks and parts are left out.
 */
export async function packSeason(path: string): Promise<Result<PackedSeason>> {
  const opened = await openSeasonFolder(path);
  if (!opened.ok) return opened;
  const { folder, season } = opened.value;
  const files = await inputFiles(folder, season);
  const bytes = files.reduce((sum, file) => sum + file.bytes, 0);
  if (bytes > MOST_BYTES || files.length > MOST_FILES) {
    const text = `${season.name} is too large for one zip (${Math.round(bytes / 2 ** 20)} MB in ${files.length} files); copy its folder instead.`;
    return failure({ code: 'too_large', source: folder, text });
  }
  const name = basename(folder);
  const sheet = await readFile(join(folder, SEASON_FILE));
  return success({ name: `${name}.zip`, pieces: zipPieces(name, sheet, files) });
}

async function* zipPieces(
  name: string,
  sheet: Uint8Array,
  files: readonly InputFile[],
): AsyncGenerator<Uint8Array> {
  let made: Uint8Array[] = [];
  const zip = new Zip((fault, piece) => {
    if (fault) throw fault;
    made.push(piece);
  });
  const taken = () => {
    const pieces = made;
    made = [];
    return pieces;
  };
  const add = (path: string) => {
    const entry = PACKED.test(path) ? new ZipPassThrough(path) : new ZipDeflate(path, { level: 6 });
    dated(entry);
    zip.add(entry);
    return entry;
  };
  add(`${name}/${SEASON_FILE}`).push(sheet, true);
  yield* taken();
  for (const file of files) {
    const entry = add(`${name}/${file.path}`);
    for await (const { piece, isLast } of filledPieces(file.real)) {
      entry.push(piece, isLast);
      yield* taken();
    }
  }
  zip.end();
  yield* taken();
}

/** The first moment that a zip can name, on the clock of wherever this runs, which is what a zip holds. */
function dated(entry: ZipInputFile): void {
  entry.mtime = new Date(1980, 0, 1);
}

/** The file in pieces of one size, however the system hands it out; the last one may be short or empty. */
async function* filledPieces(path: string): AsyncGenerator<{ piece: Uint8Array; isLast: boolean }> {
  const handle = await open(path, 'r');
  try {
    for (let isLast = false; !isLast; ) {
      // A new one each time: the packer may keep what it was given.
      const piece = new Uint8Array(PIECE_BYTES);
      let filled = 0;
      while (filled < PIECE_BYTES) {
        const { bytesRead } = await handle.read(piece, filled, PIECE_BYTES - filled);
        if (bytesRead === 0) break;
        filled += bytesRead;
      }
      isLast = filled < PIECE_BYTES;
      yield { piece: piece.subarray(0, filled), isLast };
    }
  } finally {
    await handle.close();
  }
}
