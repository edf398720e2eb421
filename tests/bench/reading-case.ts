/** What `reading.ts` compares, one a process: `node dist/tests/bench/reading-case.js <case> <folder>`; prints its cost as JSON. */
import {
  closeSync,
  mkdirSync,
  openSync,
  readFileSync,
  readSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import type { Season } from '../../core/season.ts';
import { importIntoSeason } from '../../electron/host/importer.ts';
import { InspectionThreads } from '../../electron/host/inspection-threads.ts';
import { openSeasonFolder } from '../../electron/host/season-folder.ts';
import { SeasonStore } from '../../electron/host/season-store.ts';
import { readSources } from '../../electron/host/sources.ts';

const PIECE_BYTES = 1 << 20;
const LF = 10;
const COMMA = 44;
const ZERO = 48;
const NINE = 57;

/** All of a file, piece by piece; the piece is used again. */
function eachPiece(path: string, take: (piece: Uint8Array) => void): void {
  const file = openSync(path, 'r');
  const piece = new Uint8Array(PIECE_BYTES);
  for (let filled = readSync(file, piece); filled > 0; filled = readSync(file, piece))
    take(piece.subarray(0, filled));
  closeSync(file);
}

/** Reads all bytes and counts line ends: as fast as a program can look at each byte. */
function countLines(path: string): number {
  let lines = 0;
  eachPiece(path, (piece) => {
    for (let at = piece.indexOf(LF); at >= 0; at = piece.indexOf(LF, at + 1)) lines++;
  });
  return lines;
}

/** States of the bare machine. */
const TICK = 0;
const PAYLOAD = 1;
const REST = 2;

/** A state machine over the bytes that believes everything, and sums nothing but the dark time, s. */
function darkTime(path: string): number {
  let state = TICK;
  let tick_us = 0;
  let since_us = Number.NaN;
  let dark_us = 0;
  eachPiece(path, (piece) => {
    for (let i = 0; i < piece.length; i++) {
      const byte = piece[i];
      if (state === TICK) {
        if (byte >= ZERO && byte <= NINE) tick_us = tick_us * 10 + (byte - ZERO);
        else state = byte === COMMA ? PAYLOAD : REST;
      } else if (state === PAYLOAD) {
        if (byte === ZERO + 1) since_us = tick_us;
        else if (byte === ZERO && tick_us > since_us) dark_us += tick_us - since_us;
        state = REST;
      } else if (byte === LF) {
        tick_us = 0;
        state = TICK;
      }
    }
  });
  return dark_us / 1e6;
}

/** papaparse on the first tenth of the bytes, in its fast mode, without keeping rows. */
function papaparseTenth(path: string): number {
  const text = readFileSync(path)
    .subarray(0, Math.floor(statSync(path).size / 10))
    .toString('latin1');
  let rows = 0;
  const step = () => {
    rows++;
  };
  const Papa: { parse(text: string, options: object): unknown } = createRequire(import.meta.url)('papaparse');
  Papa.parse(text, { delimiter: ',', newline: '\n', fastMode: true, step });
  return rows;
}

/** Looking into the file as an import does: hashed, read, outlined, away from the thread that answers. */
async function look(path: string): Promise<number> {
  const threads = new InspectionThreads();
  const found = await threads.inspect(path, 'long.log', { mappings: [] });
  await threads.close();
  if (!found.ok) throw new Error(found.error.text);
  return found.value.inspection.lines;
}

const EMPTY: Season = {
  format: 'sheaflight-season/1',
  name: 'Bench',
  units: 'us',
  machines: [
    {
      id: 'c1',
      name: 'combine 1',
      paddle: { pitch_mm: 203.2, width_mm: 260, depth_mm: 150, thickness_mm: 10 },
      antenna: { ahead_of_cut_m: -3.4, right_of_centre_m: 0.6 },
      header: { width_m: 9.144 },
    },
  ],
  fields: [],
  logs: [],
};

/** A whole import into an empty season: looked into, planned, copied, flushed, read back and compared, entered. */
async function importWhole(path: string, season: string): Promise<number> {
  rmSync(season, { recursive: true, force: true });
  mkdirSync(season);
  writeFileSync(join(season, 'season.json'), JSON.stringify(EMPTY));
  const store = await SeasonStore.open(season);
  if (!store.ok) throw new Error(store.error.text);
  const done = await importIntoSeason(
    store.value,
    { paths: [path] },
    { progress: () => {}, shouldStop: () => false },
  );
  await store.value.close();
  if (!done.ok) throw new Error(done.error.text);
  return done.value.files[0].lines;
}

/** Reading the imported season as a build does: hashed, checked against its record, reduced to paddles and fixes. */
async function reduce(season: string): Promise<number> {
  const open = await openSeasonFolder(season);
  if (!open.ok) throw new Error(open.error.text);
  const sources = await readSources(open.value);
  if (!sources.ok) throw new Error(sources.error.text);
  const [log] = sources.value.logs.values();
  return log.ok && log.value.kind === 'runs' ? log.value.reading.lines : 0;
}

/** What a case took. */
export interface ReadingCost {
  readonly clock_s: number;
  readonly cpu_s: number;
  readonly peak_mib: number;
  /** Lines or seconds: whatever shows that the work was done. */
  readonly came_to: number;
}

const CASES: Readonly<Record<string, (log: string, season: string) => number | Promise<number>>> = {
  bytes: countLines,
  machine: darkTime,
  papaparse: papaparseTenth,
  look,
  import: importWhole,
  reduce: (_, season) => reduce(season),
};

const [, , name, log, season] = process.argv;
const began = performance.now();
const used = process.cpuUsage();
const came_to = await CASES[name](log, season);
const { user, system } = process.cpuUsage(used);
const cost: ReadingCost = {
  clock_s: (performance.now() - began) / 1000,
  cpu_s: (user + system) / 1e6,
  peak_mib: process.resourceUsage().maxRSS / 1024,
  came_to,
};
process.stdout.write(JSON.stringify(cost));
