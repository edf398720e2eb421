/** Seasons below a folder, and where the results of each go. */
import { readdir, realpath, stat } from 'node:fs/promises';
import { basename, join, resolve } from 'node:path';
import { type DataError, failure, type Result, success } from '../../../core/errors.ts';
import { isPartName } from '../durable-write.ts';
import { numberedName, plainFileName } from '../file-name.ts';
import { openSeasonFolder } from '../season-folder.ts';
import { isSeasonFolder } from '../seasons-home.ts';

export interface FoundSeason {
  /** Absolute, links resolved. */
  readonly folder: string;
  /** The way to it from where was looked, with `/` between; the folder's own name when that is the season itself. */
  readonly name: string;
}

export interface FoundSeasons {
  /** By name. */
  readonly seasons: readonly FoundSeason[];
  /** Names of folders that hold none, nor in the folders in them. */
  readonly passed: readonly string[];
}

/**
 * The season that `home` is, or the seasons in it and in the folders in it; two names of one folder count once. `except`, where
 * results go, is not looked into. Fails where there is no such folder, or no season in it.
 */
export async function findSeasons(home: string, except?: string): Promise<Result<FoundSeasons>> {
  const top = await realpath(home).catch(() => undefined);
  if (top === undefined || !(await stat(top)).isDirectory()) {
    const open = await openSeasonFolder(home);
    if (!open.ok) return open;
    return success({
      seasons: [{ folder: open.value.folder, name: basename(open.value.folder) }],
      passed: [],
    });
  }
  if (await isSeasonFolder(top))
    return success({ seasons: [{ folder: top, name: basename(top) }], passed: [] });
  const left = except === undefined ? undefined : await realpath(resolve(except)).catch(() => undefined);
  if (left === top) return failure(sameFolder(home));
  const seasons = new Map<string, FoundSeason>();
  const passed: string[] = [];
  const take = (found: FoundSeason) => {
    if (!seasons.has(found.folder)) seasons.set(found.folder, found);
  };
  for (const found of await foldersIn(top, '', left)) {
    if (await isSeasonFolder(found.folder)) {
      take(found);
      continue;
    }
    const inner = await foldersIn(found.folder, `${found.name}/`, left);
    const are = await Promise.all(inner.map(({ folder }) => isSeasonFolder(folder)));
    if (!are.includes(true)) passed.push(found.name);
    for (const [k, one] of inner.entries())
      if (are[k]) take(one);
      else if (are.includes(true)) passed.push(one.name);
  }
  if (seasons.size > 0) return success({ seasons: [...seasons.values()], passed });
  const text = `there is no season in ${home}, nor in the folders in it; a season is a folder with a season.json.`;
  return failure({ code: 'no_seasons', source: home, text });
}

/**
 * Where the results of each season go: into its own `out/`, or into a folder of its name in `out`, which every system takes, and
 * which no two have even where large and small letters are one.
 */
export function outFolders(seasons: readonly FoundSeason[], out?: string): string[] {
  if (out === undefined) return seasons.map(({ folder }) => join(folder, 'out'));
  const taken = new Set<string>();
  return seasons.map(({ name }) => {
    const steps = name.split('/').map((step) => plainFileName(step, 'season'));
    const last = steps.pop() ?? 'season';
    const placeOf = (number: number) => [...steps, number < 2 ? last : numberedName(last, number)].join('/');
    let number = 1;
    while (taken.has(placeOf(number).toLowerCase())) number++;
    taken.add(placeOf(number).toLowerCase());
    return join(resolve(out), placeOf(number));
  });
}

function sameFolder(home: string): DataError {
  const text = `the results would go among the files of the seasons; give another folder than ${home} with --out, or none.`;
  return { code: 'out_is_home', source: home, text };
}

/** Folders in `folder` by name, hidden ones and `except` left out; names begin with `before`. */
async function foldersIn(folder: string, before: string, except: string | undefined): Promise<FoundSeason[]> {
  const names = await readdir(folder).catch(() => []);
  const found: FoundSeason[] = [];
  for (const name of names.sort()) {
    if (name.startsWith('.') || isPartName(name)) continue;
    const real = await realpath(join(folder, name)).catch(() => undefined);
    if (real === undefined || real === except) continue;
    const isFolder = await stat(real).then(
      (one) => one.isDirectory(),
      () => false,
    );
    if (isFolder) found.push({ folder: real, name: `${before}${name}` });
  }
  return found;
}
