/** The seasons that are open now, by the key that the window knows them by, and what is kept of each while it is. */
import { rm } from 'node:fs/promises';
import { join } from 'node:path';
import { failure, type Notice, type Result, success } from '../../core/errors.ts';
import type { VerifiedFiles } from './file-records.ts';
import type { SeasonRun } from './run-season.ts';
import { seasonKey } from './season-card.ts';
import { openSeasonFolder } from './season-folder.ts';
import { SeasonStore } from './season-store.ts';

/** The last build of an open season. */
export interface BuiltSeason {
  /** The job that made it. */
  readonly build: string;
  /** Of the document that it was made from. */
  readonly revision: string;
  readonly run: SeasonRun;
}

/** A file that the window has sent and that waits to be imported. */
export interface Upload {
  readonly path: string;
  readonly source_name: string;
  readonly bytes: number;
}

export interface Session {
  readonly key: string;
  readonly store: SeasonStore;
  readonly verified: VerifiedFiles;
  readonly uploads: Map<string, Upload>;
  /** What came up while nobody was asking; told with the next answer about the season, once. */
  readonly remarks: Notice[];
  built: BuiltSeason | undefined;
  /** The last preview; a build makes it worthless. */
  preview: BuiltSeason | undefined;
}

/** What the window has sent under that number, if it still waits. */
export function sentFile({ uploads }: Session, id: string): Result<Upload> {
  const sent = uploads.get(id);
  if (sent !== undefined) return success(sent);
  const text = 'A file that was sent is not here any more; send it again.';
  return failure({ code: 'no_such_upload', source: id, text });
}

/** Where uploads wait, in the season's own folder so that its own disk holds them; derived, and cleared on opening. */
export const INCOMING = 'cache/incoming';

export class SeasonSessions {
  readonly #sessions = new Map<string, Session>();
  readonly #opening = new Map<string, Promise<Result<Session>>>();

  /** Opens the season in `path`, or finds it open already. */
  async open(path: string): Promise<Result<Session>> {
    const found = await openSeasonFolder(path);
    if (!found.ok) return found;
    const key = seasonKey(found.value.folder);
    const open = this.#sessions.get(key);
    if (open !== undefined) return success(open, open.store.notices);
    const opening = this.#opening.get(key) ?? this.#opened(key, found.value.folder);
    this.#opening.set(key, opening);
    try {
      return await opening;
    } finally {
      this.#opening.delete(key);
    }
  }

  get(key: string): Session | undefined {
    return this.#sessions.get(key);
  }

  all(): Session[] {
    return [...this.#sessions.values()];
  }

  /** Lets go of the season; others can open it then. */
  async close(key: string): Promise<void> {
    const session = this.#sessions.get(key);
    this.#sessions.delete(key);
    await session?.store.close();
  }

  async closeAll(): Promise<void> {
    for (const key of [...this.#sessions.keys()]) await this.close(key);
  }

  async #opened(key: string, folder: string): Promise<Result<Session>> {
    const store = await SeasonStore.open(folder);
    if (!store.ok) return store;
    if (store.value.read_only === undefined)
      await rm(join(folder, INCOMING), { recursive: true, force: true }).catch(() => undefined);
    const session: Session = {
      key,
      store: store.value,
      verified: new Map(),
      uploads: new Map(),
      remarks: [],
      built: undefined,
      preview: undefined,
    };
    this.#sessions.set(key, session);
    const notices: readonly Notice[] = store.notices;
    return success(session, notices);
  }
}
