/** The library of seasons: a plain folder with one folder a season. Listing, making and copying them. */
import { copyFile, cp, mkdir, readdir, realpath, stat } from 'node:fs/promises';
import { dirname, isAbsolute, join, resolve } from 'node:path';
import { failure, type Result, success } from '../../core/errors.ts';
import type { CreateSeasonBody, SeasonCard } from '../../core/host-contract.ts';
import type { Season } from '../../core/season.ts';
import { decodeSeason, encodeSeason, SEASON_FILE, SEASON_FORMAT } from '../../core/season-file.ts';
import { CACHE_FOLDER } from './cache/cache-folder.ts';
import { diskFault } from './disk-faults.ts';
import { isPartName, writeDurably } from './durable-write.ts';
import { diskLayer } from './file-layer.ts';
import { folderNameFrom } from './file-name.ts';
import { newFolder } from './new-folder.ts';
import { seasonCard } from './season-card.ts';
import { INPUT_FOLDERS, inputFiles } from './season-files.ts';
import { openSeasonFolder } from './season-folder.ts';
import { PREVIOUS_FILE } from './season-store.ts';

/** The seasons in `home`, by the names of their folders; folders that hold no season are passed over. */
export async function listSeasons(home: string, isOpen: (folder: string) => boolean): Promise<SeasonCard[]> {
  const entries = await readdir(home, { withFileTypes: true }).catch(() => []);
  const cards: SeasonCard[] = [];
  for (const entry of entries.sort((a, b) => (a.name < b.name ? -1 : 1))) {
    if (entry.name.startsWith('.') || isPartName(entry.name)) continue;
    const folder = await realpath(join(home, entry.name)).catch(() => undefined);
    if (folder !== undefined && (await isSeasonFolder(folder)))
      cards.push(await seasonCard(folder, isOpen(folder)));
  }
  return cards;
}

/** Whether there is a sheet, or the one before it, however broken. */
export async function isSeasonFolder(folder: string): Promise<boolean> {
  for (const name of [SEASON_FILE, PREVIOUS_FILE]) {
    const found = await stat(join(folder, name)).catch(() => undefined);
    if (found?.isFile()) return true;
  }
  return false;
}

/** A new season in `home`: its folder, made from its name, and a sheet with what is known. Returns the folder. */
export async function createSeason(home: string, wanted: CreateSeasonBody): Promise<Result<string>> {
  const season: Season = {
    format: SEASON_FORMAT,
    name: wanted.name,
    units: wanted.units,
    machines: wanted.machines ?? [],
    fields: wanted.fields ?? [],
    logs: [],
  };
  const judged = decodeSeason(encodeSeason(season));
  if (!judged.ok) {
    const text = judged.error.text.replace(/^season\.json, line \d+: /, 'The season was not made: ');
    return failure({ ...judged.error, text }, judged.notices);
  }
  return newFolder(home, folderNameFrom(wanted.name), async (folder) => {
    for (const inner of INPUT_FOLDERS) await mkdir(join(folder, inner));
    await writeDurably(join(folder, SEASON_FILE), new TextEncoder().encode(encodeSeason(season)), diskLayer);
  });
}

/** A copy in `home` under a new name: sheet and inputs, without what is made from them. Returns the folder. */
export async function copySeason(source: string, home: string, name: string): Promise<Result<string>> {
  const open = await openSeasonFolder(source);
  if (!open.ok) return open;
  const season: Season = { ...open.value.season, name };
  return newFolder(home, folderNameFrom(name), async (folder) => {
    for (const inner of INPUT_FOLDERS) await mkdir(join(folder, inner));
    for (const { path, real } of await inputFiles(open.value.folder, season)) {
      await mkdir(dirname(join(folder, path)), { recursive: true });
      await copyFile(real, join(folder, path));
    }
    // What is remembered of the same files holds for their copies; without it the copy only opens more slowly.
    const [remembered, here] = [open.value.folder, folder].map((one) => join(one, CACHE_FOLDER));
    await cp(remembered, here, { recursive: true }).catch(() => undefined);
    await writeDurably(join(folder, SEASON_FILE), new TextEncoder().encode(encodeSeason(season)), diskLayer);
  });
}

/** A folder that a window may choose for its library. */
export async function usableHome(folder: string): Promise<Result<string>> {
  if (!isAbsolute(folder)) {
    const text = `"${folder}" is not a whole path; give it from the root of the disk on.`;
    return failure({ code: 'not_absolute', source: folder, text });
  }
  try {
    await diskLayer.makeFolder(resolve(folder));
    return success(await realpath(folder));
  } catch (caught) {
    return failure(diskFault(caught, `use ${folder} for seasons`, folder));
  }
}
