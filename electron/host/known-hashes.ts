/** What identifies a season's files, without reading them. */
import type { SeasonCache } from './cache/season-cache.ts';
import { fileIdentity } from './file-identity.ts';
import { listedPaths } from './season-files.ts';
import { fileInside, type OpenSeason } from './season-folder.ts';

/**
 * SHA-256 of all files that the sheet lists, by path, told by their size, times and number without reading them; undefined where
 * one cannot be told.
 */
export async function knownHashes(
  open: OpenSeason,
  cache: SeasonCache,
): Promise<ReadonlyMap<string, string> | undefined> {
  const hashes = new Map<string, string>();
  for (const path of listedPaths(open.season)) {
    const real = await fileInside(open.folder, path);
    if (!real.ok) return undefined;
    const sha256 = await cache.knownHash(path, (await fileIdentity(real.value)).text).catch(() => undefined);
    if (sha256 === undefined) return undefined;
    hashes.set(path, sha256);
  }
  return hashes;
}
