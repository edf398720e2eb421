/** Routes of the library: listing seasons, making, opening, copying, packing and removing them. */
import { open as openFile, realpath, rm } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { failure, type Result, success } from '../../core/errors.ts';
import type { HomeReply, SeasonReply } from '../../core/host-contract.ts';
import { diskFault } from './disk-faults.ts';
import { partPathOf } from './durable-write.ts';
import { diskLayer } from './file-layer.ts';
import { folderNameFrom, plainFileName } from './file-name.ts';
import type { Call, HostServices, RouteHandlers } from './host-services.ts';
import { renameFolder } from './new-folder.ts';
import { fileReply, seasonReply } from './replies.ts';
import { bytesFault, limitedPieces, MOST_UPLOAD_BYTES } from './request-body.ts';
import { seasonCard, seasonKey } from './season-card.ts';
import { openSeasonFolder } from './season-folder.ts';
import { acquireLock } from './season-lock.ts';
import { packSeason } from './season-pack.ts';
import { restoreSeason } from './season-restore.ts';
import { unpackSeason } from './season-unpack.ts';
import { copySeason, createSeason, isSeasonFolder, listSeasons, usableHome } from './seasons-home.ts';

type SeasonRoute =
  | 'readHome'
  | 'setHome'
  | 'createSeason'
  | 'openSeason'
  | 'openSample'
  | 'restoreSeason'
  | 'unpackSeason'
  | 'closeSeason'
  | 'renameSeason'
  | 'copySeason'
  | 'packSeason'
  | 'removeSeason';

export const SEASON_ROUTES: RouteHandlers<SeasonRoute> = {
  readHome: async ({ host }) => success(await homeReply(host)),

  setHome: async ({ host, body }) => {
    const folder = await usableHome(body.folder);
    if (!folder.ok) return folder;
    const set = await host.setHome(folder.value);
    return set.ok ? success(await homeReply(host)) : set;
  },

  createSeason: async ({ host, body }) =>
    openMade(host, await createSeason((await host.home()).folder, body)),

  openSeason: ({ host, body }) => openAt(host, body.folder),

  openSample: async ({ host }) => {
    const sample = host.sample();
    const given = sample === undefined ? undefined : await openSeasonFolder(sample);
    if (given === undefined || !given.ok) {
      const text = 'The sample season is not there; "npm run sample" makes it again.';
      return failure({ code: 'no_sample', source: 'sample-data', text });
    }
    const home = (await host.home()).folder;
    const copy = join(home, folderNameFrom(given.value.season.name));
    if (await isSeasonFolder(copy)) return openAt(host, copy);
    return openMade(host, await copySeason(given.value.folder, home, given.value.season.name));
  },

  restoreSeason: async ({ host, body }) => openMade(host, await restoreSeason(body.folder)),

  unpackSeason: async (call) => {
    const { host, steps } = call;
    const home = (await host.home()).folder;
    const zip = partPathOf(join(home, plainFileName(steps.name, 'season.zip')));
    try {
      await diskLayer.makeFolder(home);
      const received = await receivedFile(call.request, zip);
      if (!received.ok) return received;
      return openMade(host, await unpackSeason(zip, home));
    } finally {
      await rm(zip, { force: true });
    }
  },

  closeSeason: async ({ host, steps }) => {
    const session = host.sessions.get(steps.season);
    if (session === undefined) return success({ text: 'The season is not open.' });
    await host.jobs.cancelSeason(steps.season);
    await host.pool.leave(session.store.folder);
    await host.sessions.close(steps.season);
    return success({ text: `${session.store.document.name} is closed.` });
  },

  renameSeason: async ({ host, steps, body }) => {
    const session = host.sessions.get(steps.season);
    if (session === undefined) return failure(notOpen());
    const edited = await session.store.edit(body.revision, { kind: 'rename_season', name: body.name });
    if (!edited.ok) return edited;
    if (body.folder_name === undefined) return success(seasonReply(session, edited.notices));
    await host.jobs.cancelSeason(steps.season);
    await host.pool.leave(session.store.folder);
    await host.sessions.close(steps.season);
    const renamed = await renameFolder(session.store.folder, body.folder_name);
    const reopened = await openAt(host, renamed.ok ? renamed.value : session.store.folder);
    return renamed.ok ? reopened : renamed;
  },

  copySeason: async (call) => {
    const folder = await folderOf(call);
    if (!folder.ok) return folder;
    const { host, body } = call;
    return openMade(host, await copySeason(folder.value, (await host.home()).folder, body.name));
  },

  packSeason: async (call) => {
    const folder = await folderOf(call);
    if (!folder.ok) return folder;
    const packed = await packSeason(folder.value);
    return packed.ok ? fileReply(packed.value.pieces, packed.value.name) : packed;
  },

  removeSeason: async (call) => {
    const folder = await folderOf(call);
    if (!folder.ok) return folder;
    const { host, steps } = call;
    await host.jobs.cancelSeason(steps.season);
    await host.pool.leave(folder.value);
    await host.sessions.close(steps.season);
    // Whoever has it open keeps it; the lock itself must not go into the bin.
    const lock = await acquireLock(folder.value, diskLayer);
    if (lock.ok) await lock.value.release();
    else if (lock.error.code === 'open_elsewhere') return lock;
    const binned = await host.bin(folder.value);
    return binned.ok ? success({ text: `${basename(folder.value)} is in the bin.` }) : binned;
  },
};

async function homeReply(host: HostServices): Promise<HomeReply> {
  const { folder, chosen_by } = await host.home();
  const open = host.sessions.all().map(({ store }) => store.folder);
  const seasons = await listSeasons(folder, (season) => open.includes(season));
  const inHome = new Set(seasons.map((card) => card.folder));
  const elsewhere = await Promise.all(
    open.filter((season) => !inHome.has(season)).map((season) => seasonCard(season, true)),
  );
  return { folder, chosen_by, seasons, elsewhere };
}

async function openAt(host: HostServices, path: string): Promise<Result<SeasonReply>> {
  host.pool.prepare();
  const session = await host.sessions.open(path);
  return session.ok ? success(seasonReply(session.value, session.notices)) : session;
}

/** Opens what was just made, with what was noticed while it was made. */
async function openMade(host: HostServices, made: Result<string>): Promise<Result<SeasonReply>> {
  if (!made.ok) return made;
  const session = await host.sessions.open(made.value);
  return session.ok ? success(seasonReply(session.value, [...made.notices, ...session.notices])) : session;
}

/** The folder of a season that is open or stands in the library: no other can be named. */
async function folderOf({
  host,
  steps,
}: Pick<Call<'copySeason'>, 'host' | 'steps'>): Promise<Result<string>> {
  const session = host.sessions.get(steps.season);
  if (session !== undefined) return success(session.store.folder);
  const cards = await listSeasons((await host.home()).folder, () => false);
  const card = cards.find(({ season }) => season === steps.season);
  if (card !== undefined) return success(await realpath(card.folder));
  const text = 'That season is neither open nor in the library; look at the list again.';
  return failure({ code: 'no_such_season', source: seasonKey(steps.season), text });
}

export function notOpen() {
  return { code: 'not_open', source: 'season', text: 'That season is not open; open it first.' };
}

/** Writes the body of a request to `path`. */
export async function receivedFile(request: Request, path: string): Promise<Result<number>> {
  const fault = bytesFault(request);
  if (!fault.ok) return fault;
  let bytes = 0;
  try {
    const file = await openFile(path, 'wx');
    try {
      for await (const piece of limitedPieces(request, MOST_UPLOAD_BYTES)) {
        if (piece === 'too_large') {
          const text = 'The file is larger than 16 GB; split it.';
          return failure({ code: 'body_too_large', source: basename(path), text });
        }
        await file.writeFile(piece);
        bytes += piece.length;
      }
    } finally {
      await file.close();
    }
  } catch (caught) {
    return failure(diskFault(caught, 'store the file that was sent', basename(path)));
  }
  return success(bytes);
}
