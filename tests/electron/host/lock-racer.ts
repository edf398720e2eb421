/** A process that tries for the lock of a season whenever it is told to, and says whether it has it. */
import { diskLayer } from '../../../electron/host/file-layer.ts';
import { acquireLock, type SeasonLock } from '../../../electron/host/season-lock.ts';

let held: SeasonLock | undefined;

process.on('message', async (order) => {
  if (order === 'race') {
    const lock = await acquireLock(process.argv[2], diskLayer);
    held = lock.ok ? lock.value : undefined;
    process.send?.(lock.ok);
  } else {
    await held?.release();
    process.send?.('released');
  }
});
process.send?.('ready');
