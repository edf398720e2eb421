/**
 * One writer a season: a file `season.lock` in its folder, plain to see, that says who writes. A crash cannot leave a
 * season locked: whoever comes next looks whether that process still lives (by number and start time on this
 * machine; by the lock's own heartbeat when another machine holds it), and takes over what the dead have left.
 */
import { randomBytes } from 'node:crypto';
import { readFile, stat, utimes } from 'node:fs/promises';
import { hostname } from 'node:os';
import { basename, dirname, join } from 'node:path';
import * as z from 'zod';
import { type DataError, failure, type Result, success } from '../../core/errors.ts';
import { diskFault } from './disk-faults.ts';
import { partPathOf, renameToNew } from './durable-write.ts';
import { codeOf, type FileLayer } from './file-layer.ts';
import { isAlive, startOf } from './process-life.ts';

export const LOCK_FILE = 'season.lock';

/** How often a holder touches its lock, so that other machines see that it lives. */
const HEARTBEAT_MS = 15_000;
/** Another machine's lock without a touch for so long is left over: eight heartbeats, for a slow network. A choice of ours. */
const SILENT_MS = 120_000;
/** A lock file that says nothing is one that is just being written, for so long. */
const EMPTY_MS = 10_000;
/** Rounds in which others may come in between. */
const MOST_TRIES = 20;

export interface SeasonLock {
  /** Whether it was taken over from a process that did not end well. */
  readonly taken_over: boolean;
  /** Whether it is still ours; puts it back when someone has swept it away. */
  isHeld(): Promise<boolean>;
  release(): Promise<void>;
}

const holderSchema = z.object({
  pid: z.number(),
  host: z.string(),
  /** Absent where the system does not tell. */
  started: z.optional(z.string()),
  token: z.string(),
  opened_utc: z.string(),
});
type Holder = z.infer<typeof holderSchema>;

/** The lock of the season in `folder`, or who has it (`open_elsewhere`), or why none can be written (`read_only`, `disk_full` …). */
export async function acquireLock(folder: string, layer: FileLayer): Promise<Result<SeasonLock>> {
  const holder: Holder = {
    pid: process.pid,
    host: hostname(),
    started: startOf(process.pid),
    token: randomBytes(12).toString('hex'),
    opened_utc: new Date().toISOString(),
  };
  const path = join(folder, LOCK_FILE);
  try {
    const taking = await takenLock(path, holder, layer);
    if (!taking.has) return failure(openElsewhere(folder, taking.holder));
    await removeLeftClaims(folder, holder, layer);
    return success(heldLock(path, holder, taking.from_dead, layer));
  } catch (caught) {
    return failure(diskFault(caught, `open ${basename(folder)} for changes`, LOCK_FILE));
  }
}

type Taking =
  | { readonly has: true; readonly from_dead: boolean }
  | { readonly has: false; readonly holder: Holder | undefined };

/**
 * Makes `path` name `holder`, unless a living one has it. A dead one's file is replaced in one step, by whoever holds
 * the claim on it: a second lock of the same kind, named after the dead one's token. No other may replace that file,
 * so that whoever has the claim and still finds the dead one's token there can go on at any pace.
 */
async function takenLock(path: string, holder: Holder, layer: FileLayer): Promise<Taking> {
  for (let tries = 0; tries < MOST_TRIES; tries++) {
    const part = await writtenPart(path, holder, layer);
    try {
      const now_ms = (await stat(part)).mtimeMs;
      if (await isNewName(part, path, layer)) return { has: true, from_dead: false };
      const found = await readHolder(path);
      if (found === undefined) continue;
      if (!isDead(found.holder, now_ms - found.mtime_ms)) return { has: false, holder: found.holder };
      const claim = `${path}.${tokenOf(found)}.claim`;
      const claimed = await takenLock(claim, holder, layer);
      if (!claimed.has) return claimed;
      const isStillThere = (await readHolder(path))?.text === found.text;
      if (isStillThere) await layer.rename(part, path);
      await layer.remove(claim);
      if (isStillThere) return { has: true, from_dead: true };
    } catch (caught) {
      // The part, or the lock that we looked at, was swept away by another one.
      if (codeOf(caught) !== 'ENOENT' || !(await layer.isFolder(dirname(path)))) throw caught;
    } finally {
      await layer.remove(part).catch(() => undefined);
    }
  }
  return { has: false, holder: undefined };
}

/** Whether `path` was free and is now what `part` was. */
async function isNewName(part: string, path: string, layer: FileLayer): Promise<boolean> {
  try {
    await renameToNew(part, path, layer);
    return true;
  } catch (caught) {
    if (codeOf(caught) === 'EEXIST') return false;
    throw caught;
  }
}

/** A lock that says nothing is claimed by what there is to tell it by. */
function tokenOf(found: FoundLock): string {
  return found.holder?.token.replaceAll(/[^0-9a-z]/g, '') || `t${Math.round(found.mtime_ms)}`;
}

/** Claims of those who died while they took over; with a new token in the lock they mean nothing any more. */
async function removeLeftClaims(folder: string, holder: Holder, layer: FileLayer): Promise<void> {
  for (const name of await layer.namesIn(folder)) {
    const isClaim = name.startsWith(`${LOCK_FILE}.`) && name.endsWith('.claim');
    if (isClaim && !name.includes(holder.token)) await layer.remove(join(folder, name));
  }
}

async function writtenPart(path: string, holder: Holder, layer: FileLayer): Promise<string> {
  const part = partPathOf(path);
  try {
    const file = await layer.openForWriting(part);
    try {
      await file.write(new TextEncoder().encode(`${JSON.stringify(holder, null, 2)}\n`));
    } finally {
      await file.close();
    }
  } catch (caught) {
    await layer.remove(part).catch(() => undefined);
    throw caught;
  }
  return part;
}

interface FoundLock {
  readonly text: string;
  /** `undefined` when the file does not say. */
  readonly holder: Holder | undefined;
  readonly mtime_ms: number;
}

async function readHolder(path: string): Promise<FoundLock | undefined> {
  try {
    const text = await readFile(path, 'utf8');
    const { mtimeMs } = await stat(path);
    return { text, holder: parsedHolder(text), mtime_ms: mtimeMs };
  } catch (caught) {
    if (codeOf(caught) === 'ENOENT') return undefined;
    throw caught;
  }
}

function parsedHolder(text: string): Holder | undefined {
  try {
    return holderSchema.parse(JSON.parse(text));
  } catch {
    return undefined;
  }
}

function isDead(holder: Holder | undefined, silent_ms: number): boolean {
  if (holder === undefined) return silent_ms > EMPTY_MS;
  if (holder.host !== hostname()) return silent_ms > SILENT_MS;
  if (!isAlive(holder.pid)) return true;
  const started = startOf(holder.pid);
  return holder.started !== undefined && started !== undefined && started !== holder.started;
}

function heldLock(path: string, holder: Holder, takenOver: boolean, layer: FileLayer): SeasonLock {
  const isOurs = async () => (await readHolder(path))?.holder?.token === holder.token;
  const beat = setInterval(() => {
    isOurs()
      .then((ours) => (ours ? utimes(path, new Date(), new Date()) : undefined))
      .catch(() => undefined);
  }, HEARTBEAT_MS);
  beat.unref();
  return {
    taken_over: takenOver,
    isHeld: async () => {
      const found = await readHolder(path);
      if (found !== undefined) return found.holder?.token === holder.token;
      const part = await writtenPart(path, holder, layer);
      await renameToNew(part, path, layer).catch(() => layer.remove(part));
      return isOurs();
    },
    release: async () => {
      clearInterval(beat);
      if (await isOurs()) await layer.remove(path);
    },
  };
}

function openElsewhere(folder: string, holder: Holder | undefined): DataError {
  const name = basename(folder);
  if (holder === undefined) {
    const text = `${name} is being opened by another program at this moment; try again in a few seconds.`;
    return { code: 'open_elsewhere', source: LOCK_FILE, text };
  }
  const where =
    holder.host === hostname()
      ? `in another window or command on this computer (process ${holder.pid})`
      : `on the computer ${holder.host}`;
  const text = `${name} is open ${where} since ${holder.opened_utc.slice(0, 16).replace('T', ' ')} UTC; close it there first.`;
  return { code: 'open_elsewhere', source: LOCK_FILE, text };
}
