/** Bringing a season back whose sheet was broken or lost, from the sheet before the last change. */
import { readFile, realpath, rename } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { failure, type Notice, type Result, success } from '../../core/errors.ts';
import { SEASON_FILE } from '../../core/season-file.ts';
import { diskFault } from './disk-faults.ts';
import { writeDurably } from './durable-write.ts';
import { codeOf, diskLayer } from './file-layer.ts';
import { canRestore } from './season-card.ts';
import { openSeasonFolder } from './season-folder.ts';
import { acquireLock } from './season-lock.ts';
import { PREVIOUS_FILE } from './season-store.ts';

/**
 * Puts the sheet before the last change in the place of one that cannot be read; the broken one stays beside it as
 * `season.json.broken`. Refused while the sheet can be read, and when there is no sound previous one.
 */
export async function restoreSeason(path: string): Promise<Result<string>> {
  const given = basename(path) === SEASON_FILE ? dirname(path) : path;
  const open = await openSeasonFolder(given);
  if (open.ok) {
    const text = `${SEASON_FILE} in ${given} can be read; nothing needs to be restored. Use undo to go back.`;
    return failure({ code: 'not_broken', source: given, text });
  }
  if (!(await canRestore(given))) {
    const text = `${given} has no sound ${PREVIOUS_FILE} to restore from; mend ${SEASON_FILE} by hand: ${open.error.text}`;
    return failure({ code: 'no_previous', source: given, text });
  }
  const folder = await realpath(given);
  const lock = await acquireLock(folder, diskLayer);
  if (!lock.ok) return lock;
  try {
    const broken = join(folder, SEASON_FILE);
    await rename(broken, `${broken}.broken`).catch((caught: unknown) => {
      if (codeOf(caught) !== 'ENOENT') throw caught;
    });
    await writeDurably(broken, await readFile(join(folder, PREVIOUS_FILE)), diskLayer);
    return success(folder, [restoredNotice()]);
  } catch (caught) {
    return failure(diskFault(caught, `restore ${SEASON_FILE}`, given));
  } finally {
    await lock.value.release();
  }
}

function restoredNotice(): Notice {
  const text = `${SEASON_FILE} was restored as it was before the last change; the broken one is in ${SEASON_FILE}.broken.`;
  return { code: 'restored', severity: 'look', source: SEASON_FILE, count: 1, text };
}
