/** One season as it stands in a list: read without opening it, and listed with its fault when it cannot be read. */
import { createHash } from 'node:crypto';
import { readFile, stat } from 'node:fs/promises';
import { basename, join } from 'node:path';
import * as z from 'zod';
import type { SeasonCard } from '../../core/host-contract.ts';
import { isoFromUnix } from '../../core/iso-time.ts';
import type { SeasonResult } from '../../core/result.ts';
import type { Season } from '../../core/season.ts';
import { decodeSeason, SEASON_FILE } from '../../core/season-file.ts';
import { writeDurably } from './durable-write.ts';
import type { FileLayer } from './file-layer.ts';
import { openSeasonFolder } from './season-folder.ts';
import { PREVIOUS_FILE } from './season-store.ts';
import { decodeText } from './text-decoding.ts';

/** First and last moment of the harvest, kept from build to build so that a list need not read logs. */
export const SPAN_FILE = 'cache/season-span.json';

const spanSchema = z.object({
  first_utc: z.nullable(z.iso.datetime()),
  last_utc: z.nullable(z.iso.datetime()),
});
type Span = z.infer<typeof spanSchema>;

/** How the host names a season to the window: the folder's real path, hashed, so that no path stands in an address. */
export function seasonKey(folder: string): string {
  return createHash('sha256').update(folder).digest('hex').slice(0, 16);
}

/** The card of the season in `folder`, which is a real path. */
export async function seasonCard(folder: string, isOpen: boolean): Promise<SeasonCard> {
  const modified = await stat(join(folder, SEASON_FILE)).catch(() => undefined);
  const base = {
    season: seasonKey(folder),
    folder,
    modified_utc: modified?.mtime.toISOString() ?? null,
    is_open: isOpen,
  };
  const open = await openSeasonFolder(folder);
  if (!open.ok) {
    const { code, text } = open.error;
    const problem = { code, text, notices: open.notices, can_restore: await canRestore(folder) };
    const empty = { fields: [], crops: [], machines: [], log_files: 0, first_utc: null, last_utc: null };
    return { ...base, ...empty, name: basename(folder), problem };
  }
  const { season } = open.value;
  return { ...base, ...(await readSpan(folder)), ...contentOf(season), problem: null };
}

/** Whether the sheet before the last change can take the place of a broken or lost one. */
export async function canRestore(folder: string): Promise<boolean> {
  const bytes = await readFile(join(folder, PREVIOUS_FILE)).catch(() => undefined);
  return bytes !== undefined && decodeSeason(decodeText(bytes).text).ok;
}

/** Writes the span of a build's result beside the other derived files. */
export async function writeSpan(folder: string, result: SeasonResult, layer: FileLayer): Promise<void> {
  let first_s = Number.POSITIVE_INFINITY;
  let last_s = Number.NEGATIVE_INFINITY;
  for (const { t_s } of result.points) {
    for (const t of t_s) {
      if (t < first_s) first_s = t;
      if (t > last_s) last_s = t;
    }
  }
  const utcOf = (t_s: number) => (Number.isFinite(t_s) ? isoFromUnix(result.epoch_utc_s + t_s) : null);
  const span: Span = { first_utc: utcOf(first_s), last_utc: utcOf(last_s) };
  const path = join(folder, SPAN_FILE);
  await layer.makeFolder(join(folder, 'cache'));
  await writeDurably(path, new TextEncoder().encode(`${JSON.stringify(span, null, 2)}\n`), layer);
}

async function readSpan(folder: string): Promise<Span> {
  try {
    return spanSchema.parse(JSON.parse(await readFile(join(folder, SPAN_FILE), 'utf8')));
  } catch {
    return { first_utc: null, last_utc: null };
  }
}

function contentOf(season: Season) {
  return {
    name: season.name,
    fields: season.fields.map(({ name, crop }) => ({ name, crop })),
    crops: [...new Set(season.fields.map(({ crop }) => crop))],
    machines: season.machines.map(({ name }) => name),
    log_files: season.logs.reduce((sum, { files }) => sum + files.length, 0),
  };
}
