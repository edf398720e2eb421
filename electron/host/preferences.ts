/** What the user has chosen for the program itself, in one small file in the user's own folder for settings. */
import { mkdir, readFile } from 'node:fs/promises';
import { homedir } from 'node:os';
import { join } from 'node:path';
import * as z from 'zod';
import type { BaseMapChoice } from '../../core/base-map.ts';
import { failure, type Result, success } from '../../core/errors.ts';
import type { ExportChoiceReply } from '../../core/export/layers/layer-choice.ts';
import { diskFault } from './disk-faults.ts';
import { writeDurably } from './durable-write.ts';
import { rememberedChoiceSchema } from './export/export-choice-schema.ts';
import { diskLayer } from './file-layer.ts';

/** Variables of the process's environment. */
export type Environment = Readonly<Record<string, string | undefined>>;

export interface Preferences {
  /** The library folder; the default when absent. */
  readonly seasons_home?: string;
  /** The user's own map under the fields; none when absent or `null`. */
  readonly base_map?: BaseMapChoice | null;
  /** What was exported last, and how. */
  readonly last_export?: ExportChoiceReply['choice'];
}

const preferencesSchema = z.looseObject({
  seasons_home: z.optional(z.string()),
  base_map: z
    .optional(
      z.nullable(z.object({ kind: z.enum(['file', 'address']), at: z.string(), attribution: z.string() })),
    )
    .catch(null),
  last_export: z.optional(z.nullable(rememberedChoiceSchema)).catch(null),
});

/** Where programs keep settings on this system [XDG Base Directory Specification; the platforms' own rules]. */
export function settingsFolder(environment: Environment, platform: string = process.platform): string {
  const home = homeFolder(environment);
  if (platform === 'win32')
    return join(environment.APPDATA || join(home, 'AppData', 'Roaming'), 'Sheaflight');
  if (platform === 'darwin') return join(home, 'Library', 'Application Support', 'Sheaflight');
  return join(environment.XDG_CONFIG_HOME || join(home, '.config'), 'sheaflight');
}

/** The user's own folder. */
export function homeFolder(environment: Environment): string {
  return environment.HOME || environment.USERPROFILE || homedir();
}

/** What was chosen; nothing where the file is not there or cannot be read, which costs no more than a default. */
export async function readPreferences(environment: Environment): Promise<Preferences> {
  return (await readAll(environment)) as Preferences;
}

/** Changes what is named and keeps the rest, unknown keys too. */
export async function writePreferences(
  environment: Environment,
  change: Preferences,
): Promise<Result<Preferences>> {
  const path = preferencesPath(environment);
  const merged = { ...(await readAll(environment)), ...change };
  try {
    await mkdir(settingsFolder(environment), { recursive: true });
    const text = `${JSON.stringify(merged, null, 2)}\n`;
    await writeDurably(path, new TextEncoder().encode(text), diskLayer);
    return success(merged);
  } catch (caught) {
    return failure(diskFault(caught, 'remember the choice', path));
  }
}

function preferencesPath(environment: Environment): string {
  return join(settingsFolder(environment), 'preferences.json');
}

async function readAll(environment: Environment): Promise<Record<string, unknown>> {
  try {
    return preferencesSchema.parse(JSON.parse(await readFile(preferencesPath(environment), 'utf8')));
  } catch {
    return {};
  }
}
