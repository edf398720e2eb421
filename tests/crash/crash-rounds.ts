/** Kills a working process again and again, at drawn moments, and looks each time whether all that it had saved is there. */
import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { decodeSeason } from '../../core/season-file.ts';
import { isPartName } from '../../electron/host/durable-write.ts';
import { hashFile } from '../../electron/host/file-hash.ts';
import { checkFiles } from '../../electron/host/file-records.ts';
import { programFolder } from '../../electron/host/program-version.ts';
import { PREVIOUS_FILE, SeasonStore } from '../../electron/host/season-store.ts';
import { smallSeason } from '../electron/host/small-season.ts';
import { Random } from '../synthetic/random.ts';
import { type CrashLine, countOf, wholeLines } from './crash-lines.ts';

export interface CrashTally {
  /** How many were killed while they did what; `start` before the season was open. */
  readonly killed: Record<'start' | 'edit' | 'import' | 'build' | 'between', number>;
  /** Changes that were said to be saved, all found again. */
  saved: number;
  imported: number;
  locksTakenOver: number;
  partsLeft: number;
  /** Changes that were on the disk although the kill came before the process could say so. */
  savedUnsaid: number;
}

/** A new season after so many kills, so that the folder stays small. */
const KILLS_A_SEASON = 40;
/** A share of the kills comes while the process still starts. */
const EARLY = 0.1;
const LONGEST_START_MS = 400;
/** Several of each kind of work fall into this. */
const LONGEST_WORK_MS = 250;
/** Sizes of the files to copy in, bytes: from less than one read to many. */
const SOURCE_BYTES = [0, 700, 150_000, 3_000_000, 9_000_000];

/** Runs `kills` rounds. Throws with a sentence at the first thing that is lost or wrong. */
export async function crashRounds(
  kills: number,
  seed: number,
  onRound: (round: number, tally: CrashTally) => void = () => undefined,
): Promise<CrashTally> {
  const random = new Random(seed, 'kills');
  const scratch = mkdtempSync(join(tmpdir(), 'sheaflight-crash-'));
  const sources = join(scratch, 'stick');
  const content = writeSources(sources, random);
  const tally: CrashTally = {
    killed: { start: 0, edit: 0, import: 0, build: 0, between: 0 },
    saved: 0,
    imported: 0,
    locksTakenOver: 0,
    partsLeft: 0,
    savedUnsaid: 0,
  };
  try {
    let known: Known = { folder: '', count: 0, files: new Map() };
    for (let round = 0; round < kills; round++) {
      if (round % KILLS_A_SEASON === 0) {
        known = { folder: join(scratch, `season-${round}`), count: 0, files: new Map() };
        smallSeason(known.folder);
      }
      const lines = await killedLines(known.folder, sources, random.integer(2 ** 31), random);
      known = await verified(known, lines, await content, tally);
      onRound(round + 1, tally);
    }
  } finally {
    rmSync(scratch, { recursive: true, force: true });
  }
  return tally;
}

/** What must be there. */
interface Known {
  readonly folder: string;
  readonly count: number;
  /** SHA-256 by path of the files whose import was said to be done. */
  readonly files: ReadonlyMap<string, string>;
}

/** SHA-256 of every file that can be copied in. */
async function writeSources(folder: string, random: Random): Promise<Set<string>> {
  mkdirSync(folder);
  const hashes = new Set<string>();
  for (const [i, bytes] of SOURCE_BYTES.entries()) {
    const path = join(folder, `run-${i}.log`);
    writeFileSync(
      path,
      Uint8Array.from({ length: bytes }, () => random.integer(256)),
    );
    hashes.add((await hashFile(path)).sha256);
  }
  return hashes;
}

/** Starts a process, kills it at a drawn moment, and returns what it had printed. */
async function killedLines(
  folder: string,
  sources: string,
  seed: number,
  random: Random,
): Promise<CrashLine[]> {
  const script = join(programFolder(), 'dist/tests/crash/crash-child.js');
  const child = spawn(process.execPath, [script, folder, sources, String(seed)], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  let printed = '';
  child.stdout.setEncoding('utf8');
  child.stdout.on('data', (text: string) => {
    printed += text;
  });
  const ended = once(child, 'close');
  if (random.uniform() < EARLY) await wait(random.between(0, LONGEST_START_MS));
  else {
    await Promise.race([once(child.stdout, 'data'), ended]);
    await wait(random.between(0, LONGEST_WORK_MS));
  }
  await killed(child, ended);
  return wholeLines(printed);
}

async function killed(child: ChildProcess, ended: Promise<unknown>): Promise<void> {
  if (child.exitCode !== null) throw new Error(`the process ended by itself with code ${child.exitCode}`);
  child.kill('SIGKILL');
  await ended;
  if (child.signalCode !== 'SIGKILL')
    throw new Error('the process ended by itself before it could be killed');
}

async function verified(
  known: Known,
  lines: readonly CrashLine[],
  content: ReadonlySet<string>,
  tally: CrashTally,
): Promise<Known> {
  const { folder } = known;
  const last = lines.at(-1);
  tally.killed[last === undefined ? 'start' : last.kind === 'begin' ? last.what : 'between']++;
  const files = new Map(known.files);
  let { count } = known;
  for (const line of lines) {
    if (line.kind !== 'done') continue;
    if (line.count > count) tally.saved++;
    count = Math.max(count, line.count);
    if (line.path === undefined || line.sha256 === undefined) continue;
    files.set(line.path, line.sha256);
    tally.imported++;
  }
  const isLocked = existsSync(join(folder, 'season.lock'));
  tally.partsLeft += partsIn(folder).length;

  const opened = await SeasonStore.open(folder);
  if (!opened.ok) throw new Error(`the season does not open: ${opened.error.text}`);
  const store = opened.value;
  try {
    if (isLocked) tally.locksTakenOver++;
    const found = countOf(store.document.name);
    // The one change that was under way may be there or not.
    if (found < count || found > count + 1)
      throw new Error(`change ${count} was saved, and ${found} is there`);
    if (found > count) tally.savedUnsaid++;
    const left = partsIn(folder);
    if (left.length > 0) throw new Error(`parts are left after opening: ${left.join(', ')}`);
    const listed = JSON.stringify(store.document);
    if (listed.includes('.part')) throw new Error(`a part is listed as data: ${listed}`);
    await filesAreThere(store, files, content);
    outputsAreWhole(folder);
    const previous = join(folder, PREVIOUS_FILE);
    if (existsSync(previous) && !decodeSeason(readFileSync(previous, 'utf8')).ok)
      throw new Error('the previous sheet is broken');
    return { folder, count: found, files };
  } finally {
    await store.close();
  }
}

/** Every file is what its record says; a file without one is a whole copy, never a half. */
async function filesAreThere(
  store: SeasonStore,
  files: ReadonlyMap<string, string>,
  content: ReadonlySet<string>,
): Promise<void> {
  const records = new Map(store.document.files?.map(({ path, sha256 }) => [path, sha256]));
  for (const [path, sha256] of files)
    if (records.get(path) !== sha256) throw new Error(`the record of ${path} is lost`);
  for (const { path, state } of await checkFiles(store.folder, store.document, 'full', new Map())) {
    if (path === 'logs/flow.csv' || state === 'same') continue;
    if (state !== 'unrecorded') throw new Error(`${path} is ${state}`);
    if (!content.has((await hashFile(join(store.folder, path))).sha256))
      throw new Error(`${path} is no whole copy of anything`);
  }
}

/** Results are all of one build or all of another, file by file. */
function outputsAreWhole(folder: string): void {
  for (const name of ['points.geojson', 'summary.json']) {
    const path = join(folder, 'out', name);
    if (existsSync(path)) JSON.parse(readFileSync(path, 'utf8'));
  }
  const report = join(folder, 'out/report.html');
  if (existsSync(report) && !readFileSync(report, 'utf8').trimEnd().endsWith('</html>'))
    throw new Error('the report is cut off');
}

function partsIn(folder: string): string[] {
  return readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter((path) =>
    isPartName(path.split('/').at(-1) ?? ''),
  );
}
