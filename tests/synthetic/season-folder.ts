/** Writes a simulated season to disk. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import type { SimulatedSeason } from './simulate.ts';

/** Writes every file of the season below `folder`, which is made; files that are there already are replaced. */
export function writeSeason(folder: string, season: SimulatedSeason): void {
  for (const [path, bytes] of season.files) {
    const target = join(folder, path);
    mkdirSync(dirname(target), { recursive: true });
    writeFileSync(target, bytes);
  }
}
