/** Which folder is the library of seasons, and who said so. */
import { readFileSync } from 'node:fs';
import { isAbsolute, join, resolve } from 'node:path';
import type { HomeReply } from '../../core/host-contract.ts';
import { type Environment, homeFolder, readPreferences } from './preferences.ts';

export interface ChosenHome {
  readonly folder: string;
  readonly chosen_by: HomeReply['chosen_by'];
}

/** Names the library on one machine or for one run. */
export const HOME_VARIABLE = 'SHEAFLIGHT_HOME';

/** By rank: the option of this run, the environment, the saved preference, `Sheaflight` in the user's documents. */
export async function chosenHome(environment: Environment, option?: string): Promise<ChosenHome> {
  if (option !== undefined) return { folder: resolve(option), chosen_by: 'option' };
  const named = environment[HOME_VARIABLE];
  if (named) return { folder: resolve(named), chosen_by: 'environment' };
  const { seasons_home } = await readPreferences(environment);
  if (seasons_home !== undefined && isAbsolute(seasons_home))
    return { folder: seasons_home, chosen_by: 'preference' };
  return { folder: join(documentsFolder(environment), 'Sheaflight'), chosen_by: 'default' };
}

/** The user's folder for documents; its name on Linux stands in `user-dirs.dirs` [xdg-user-dirs]. */
export function documentsFolder(environment: Environment, platform: string = process.platform): string {
  const home = homeFolder(environment);
  if (platform === 'win32' || platform === 'darwin') return join(home, 'Documents');
  const settings = environment.XDG_CONFIG_HOME || join(home, '.config');
  try {
    const listed = readFileSync(join(settings, 'user-dirs.dirs'), 'utf8');
    const named = /^\s*XDG_DOCUMENTS_DIR="(.*)"\s*$/m.exec(listed)?.[1];
    const folder = named?.replace(/^\$HOME(?=\/|$)/, home);
    // A list that names the home itself means that there is no such folder.
    if (folder !== undefined && isAbsolute(folder) && resolve(folder) !== resolve(home)) return folder;
  } catch {
    // no list: the usual name
  }
  return join(home, 'Documents');
}
