/**
 * An open season: its document in memory, its sheet on the disk, and the rule that a change counts when it is on the
 * disk. One store is the only writer of its folder (see `season-lock.ts`); its own changes follow one another.
 */
import { createHash } from 'node:crypto';
import { readFile } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { applyEdit, type SeasonEdit } from '../../core/edits.ts';
import { type DataError, failure, type Notice, type Result, success } from '../../core/errors.ts';
import type { History } from '../../core/host-contract.ts';
import type { Season } from '../../core/season.ts';
import { decodeSeason, encodeSeason, SEASON_FILE } from '../../core/season-file.ts';
import { diskFault } from './disk-faults.ts';
import { removeLeftParts, writeDurably } from './durable-write.ts';
import { codeOf, diskLayer, type FileLayer } from './file-layer.ts';
import { openSeasonFolder } from './season-folder.ts';
import {
  currentOf,
  historyFrom,
  namesOf,
  type SeasonHistory,
  type SeasonState,
  stepped,
  withState,
} from './season-history.ts';
import { acquireLock, type SeasonLock } from './season-lock.ts';
import { decodeText } from './text-decoding.ts';

/** The sheet before the last change. */
export const PREVIOUS_FILE = 'season.json.previous';
/** Folders of a season in which a killed process may have left parts. */
const FOLDERS_WITH_PARTS = ['', 'logs', 'tickets', 'boundaries', 'cache', 'cache/incoming'];

export interface StoreOptions {
  readonly layer?: FileLayer;
  /** The clock, for the history. */
  readonly now?: () => Date;
}

export class SeasonStore {
  /** Absolute, links resolved. */
  readonly folder: string;
  /** What was noticed on opening. */
  readonly notices: readonly Notice[];
  /** Why nothing can be changed; `undefined` when it can. */
  readonly read_only: DataError | undefined;
  readonly layer: FileLayer;
  readonly #lock: SeasonLock | undefined;
  readonly #now: () => Date;
  #history: SeasonHistory;
  /** SHA-256 of `season.json` as this store has last seen it. */
  #sheetHash: string;
  /** The end of all that was asked for so far. */
  #last: Promise<unknown> = Promise.resolve();

  private constructor(opened: Opened) {
    this.folder = opened.folder;
    this.notices = opened.notices;
    this.read_only = opened.read_only;
    this.layer = opened.layer;
    this.#lock = opened.lock;
    this.#now = opened.now;
    this.#sheetHash = opened.sheetHash;
    this.#history = historyFrom({ season: opened.season, name: 'Opened', utc: opened.now().toISOString() });
  }

  /**
   * Opens the season in `path` for changes, clearing away what a killed process has left. A season that another
   * process has open is refused (`open_elsewhere`); one on a disk that takes no changes is opened to look at, with
   * `read_only` saying why.
   */
  static async open(path: string, options: StoreOptions = {}): Promise<Result<SeasonStore>> {
    const layer = options.layer ?? diskLayer;
    const first = await openSeasonFolder(path);
    if (!first.ok) return first;
    const folder = first.value.folder;
    const lock = await acquireLock(folder, layer);
    if (!lock.ok && lock.error.code === 'open_elsewhere') return lock;
    const notices: Notice[] = lock.ok
      ? await tidied(folder, lock.value, layer)
      : [readOnlyNotice(lock.error)];
    // Read again: only now nobody else writes.
    const bytes = await readFile(join(folder, SEASON_FILE));
    const decoded = decodeSeason(decodeText(bytes).text);
    if (!decoded.ok) {
      if (lock.ok) await lock.value.release();
      return decoded;
    }
    const store = new SeasonStore({
      folder,
      season: decoded.value,
      sheetHash: hashOf(bytes),
      notices: [...notices, ...decoded.notices],
      read_only: lock.ok ? undefined : lock.error,
      lock: lock.ok ? lock.value : undefined,
      layer,
      now: options.now ?? (() => new Date()),
    });
    return success(store, store.notices);
  }

  get document(): Season {
    return currentOf(this.#history).season;
  }

  /** Names the document's content: the same content is the same revision, whenever it came about. */
  get revision(): string {
    return revisionOf(this.document);
  }

  get history(): History {
    return namesOf(this.#history);
  }

  /** Makes the edit on the document of `revision`; when this has succeeded, the change is on the disk. */
  edit(revision: string, edit: SeasonEdit): Promise<Result<Season>> {
    return this.#inTurn(async () => {
      const stale = this.#staleness(revision);
      if (stale) return failure(stale);
      const changed = applyEdit(this.document, edit);
      if (!changed.ok) return changed;
      const { season, name } = changed.value;
      if (revisionOf(season) === this.revision) return success(this.document, changed.notices);
      const state: SeasonState = { season, name, utc: this.#now().toISOString() };
      return this.#save(withState(this.#history, state), changed.notices);
    });
  }

  undo(revision: string): Promise<Result<Season>> {
    return this.#step(revision, -1, 'There is nothing to undo.');
  }

  redo(revision: string): Promise<Result<Season>> {
    return this.#step(revision, 1, 'There is nothing to redo.');
  }

  /** Takes over what someone else has written into `season.json`; their version becomes the newest state. */
  reload(): Promise<Result<Season>> {
    return this.#inTurn(async () => {
      const bytes = await readFile(join(this.folder, SEASON_FILE)).catch(() => undefined);
      if (bytes === undefined) return failure(vanished(this.folder));
      const decoded = decodeSeason(decodeText(bytes).text);
      if (!decoded.ok) return decoded;
      this.#sheetHash = hashOf(bytes);
      if (revisionOf(decoded.value) !== this.revision) {
        const name = 'Changed by another program';
        const state: SeasonState = { season: decoded.value, name, utc: this.#now().toISOString() };
        this.#history = withState(this.#history, state);
      }
      return success(decoded.value, decoded.notices);
    });
  }

  /** What happened to `season.json` behind the program's back; `undefined` when nothing did. */
  async outsideChange(): Promise<DataError | undefined> {
    let bytes: Uint8Array;
    try {
      bytes = await readFile(join(this.folder, SEASON_FILE));
    } catch (caught) {
      return codeOf(caught) === 'ENOENT'
        ? vanished(this.folder)
        : diskFault(caught, `read ${SEASON_FILE}`, SEASON_FILE);
    }
    if (hashOf(bytes) === this.#sheetHash) return undefined;
    const text = `${SEASON_FILE} was changed by another program since it was opened here. Reload it and make your change again; nothing of theirs was overwritten.`;
    return { code: 'changed_outside', source: SEASON_FILE, text };
  }

  /** Lets others in; waits for changes that are under way. */
  async close(): Promise<void> {
    await this.#last;
    await this.#lock?.release();
  }

  #step(revision: string, step: -1 | 1, atEnd: string): Promise<Result<Season>> {
    return this.#inTurn(async () => {
      const stale = this.#staleness(revision);
      if (stale) return failure(stale);
      const history = stepped(this.#history, step);
      if (!history) return failure({ code: 'end_of_history', source: SEASON_FILE, text: atEnd });
      return this.#save(history, []);
    });
  }

  #staleness(revision: string): DataError | undefined {
    if (revision === this.revision) return undefined;
    const latest = currentOf(this.#history).name;
    const text = `The season has changed since you saw it (last: "${latest}"), so this was not done. Look at it as it is now, and do it again if it is still right.`;
    return { code: 'stale_revision', source: SEASON_FILE, text };
  }

  /** Writes the current document of `history`, and only then makes it the store's own. */
  async #save(history: SeasonHistory, notices: readonly Notice[]): Promise<Result<Season>> {
    const { season } = currentOf(history);
    const hindrance = await this.#hindrance();
    if (hindrance) return failure(hindrance);
    const bytes = new TextEncoder().encode(encodeSeason(season));
    const unconfirmed: Notice[] = [];
    try {
      await writeDurably(join(this.folder, SEASON_FILE), bytes, this.layer, join(this.folder, PREVIOUS_FILE));
    } catch (caught) {
      const fault = diskFault(caught, `save ${SEASON_FILE} of ${basename(this.folder)}`, SEASON_FILE);
      const held = await readFile(join(this.folder, SEASON_FILE)).catch(() => undefined);
      if (held === undefined || hashOf(held) !== hashOf(bytes)) return failure(fault);
      // All was written and named; only the last flush of the folder's names was not confirmed.
      unconfirmed.push(unconfirmedNotice());
    }
    this.#sheetHash = hashOf(bytes);
    this.#history = history;
    return success(season, [...notices, ...unconfirmed]);
  }

  /** What stands against writing now. A sheet that is gone does not: writing brings it back. */
  async #hindrance(): Promise<DataError | undefined> {
    if (this.read_only) return this.read_only;
    try {
      if (!(await this.#lock?.isHeld())) return lockLost(this.folder);
    } catch (caught) {
      return diskFault(caught, `save ${SEASON_FILE} of ${basename(this.folder)}`, SEASON_FILE);
    }
    const outside = await this.outsideChange();
    return outside?.code === 'sheet_vanished' ? undefined : outside;
  }

  #inTurn<T>(work: () => Promise<T>): Promise<T> {
    const turn = this.#last.then(work);
    this.#last = turn.catch(() => undefined);
    return turn;
  }
}

interface Opened {
  readonly folder: string;
  readonly season: Season;
  readonly sheetHash: string;
  readonly notices: readonly Notice[];
  readonly read_only: DataError | undefined;
  readonly lock: SeasonLock | undefined;
  readonly layer: FileLayer;
  readonly now: () => Date;
}

/** Documents never change, so that each is hashed once. */
const revisions = new WeakMap<Season, string>();

/** The name of a document's content: 16 hex digits of its SHA-256. */
export function revisionOf(season: Season): string {
  const known = revisions.get(season);
  if (known !== undefined) return known;
  const revision = hashOf(new TextEncoder().encode(encodeSeason(season))).slice(0, 16);
  revisions.set(season, revision);
  return revision;
}

function hashOf(bytes: Uint8Array): string {
  return createHash('sha256').update(bytes).digest('hex');
}

/** Clears away what a process that did not end well has left, and says so. */
async function tidied(folder: string, lock: SeasonLock, layer: FileLayer): Promise<Notice[]> {
  const left: string[] = [];
  for (const inner of FOLDERS_WITH_PARTS) left.push(...(await removeLeftParts(join(folder, inner), layer)));
  if (!lock.taken_over && left.length === 0) return [];
  const cleared = left.length === 0 ? '' : ` ${left.length} unfinished file(s) that it left were removed.`;
  const text = `The program did not end well when this season was last open; every change that was saved is here.${cleared}`;
  return [{ code: 'recovered', severity: 'info', source: SEASON_FILE, count: 1, text }];
}

function readOnlyNotice(error: DataError): Notice {
  const text = `This season can be looked at, and not changed. ${error.text}`;
  return { code: 'read_only', severity: 'look', source: error.source, count: 1, text };
}

function unconfirmedNotice(): Notice {
  const text = `${SEASON_FILE} is saved, but the disk did not confirm it; copy the season to another disk, as this one may be failing.`;
  return { code: 'not_confirmed', severity: 'look', source: SEASON_FILE, count: 1, text };
}

function vanished(folder: string): DataError {
  const text = `${SEASON_FILE} is not in ${folder} any more; look whether the folder was moved. The next change that you make here writes it again.`;
  return { code: 'sheet_vanished', source: SEASON_FILE, text };
}

function lockLost(folder: string): DataError {
  const text = `${basename(folder)} was opened by another program while this one was asleep, so that nothing can be changed here; close it there, then close and open it here.`;
  return { code: 'lock_lost', source: SEASON_FILE, text };
}
