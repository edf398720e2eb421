/** Whether a file is the one that was read before, told without reading it. */
import { stat } from 'node:fs/promises';

/** Size, times and number of a file. As long as all stay, its content has: the system moves `ctime` with every write. */
export interface FileIdentity {
  readonly text: string;
  /** Whether its times are old enough that another write would show in them. */
  readonly isSettled: boolean;
}

/** Coarsest clock of a file system in use (FAT counts in steps of two seconds), ms; from memory. */
const COARSEST_CLOCK_MS = 2000;

export async function fileIdentity(path: string): Promise<FileIdentity> {
  const now_ms = Date.now();
  const { size, mtimeNs, ctimeNs, mtimeMs, ctimeMs, ino } = await stat(path, { bigint: true });
  const latest_ms = Math.max(Number(mtimeMs), Number(ctimeMs));
  return {
    text: `${size} ${mtimeNs} ${ctimeNs} ${ino}`,
    isSettled: now_ms - latest_ms > COARSEST_CLOCK_MS,
  };
}
