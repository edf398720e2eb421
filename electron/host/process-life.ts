/** Whether the process that left something behind still lives, and is the same one and not a later one of its number. */
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { codeOf } from './file-layer.ts';

/** Whether a process of this number runs on this machine. */
export function isAlive(processId: number): boolean {
  try {
    process.kill(processId, 0);
  } catch (caught) {
    return codeOf(caught) === 'EPERM';
  }
  return !isZombie(processId);
}

/**
 * When the process was started, as a text that no other process of that number can have had: boot and clock ticks on
 * Linux, the start time elsewhere. `undefined` when it is not there or the system does not tell.
 */
export function startOf(processId: number): string | undefined {
  if (process.platform === 'linux') {
    const fields = statFields(processId);
    // Field 22 of /proc/<pid>/stat, `starttime` [proc(5)]; the first two are cut off already.
    return fields === undefined ? undefined : `${bootId()}:${fields[19]}`;
  }
  if (process.platform === 'win32') return undefined;
  try {
    const started = execFileSync('ps', ['-o', 'lstart=', '-p', String(processId)], {
      encoding: 'utf8',
      env: { ...process.env, LC_ALL: 'C', TZ: 'UTC' },
      stdio: ['ignore', 'pipe', 'ignore'],
    }).trim();
    return started === '' ? undefined : started;
  } catch {
    return undefined;
  }
}

/** What stands after the name in /proc/<pid>/stat; the name itself may hold blanks and brackets. */
function statFields(processId: number): string[] | undefined {
  try {
    const stat = readFileSync(`/proc/${processId}/stat`, 'utf8');
    return stat.slice(stat.lastIndexOf(')') + 2).split(' ');
  } catch {
    return undefined;
  }
}

/** Ended, and not yet fetched by its parent: it will never write again. */
function isZombie(processId: number): boolean {
  if (process.platform !== 'linux') return false;
  const state = statFields(processId)?.[0];
  return state === 'Z' || state === 'X';
}

function bootId(): string {
  try {
    return readFileSync('/proc/sys/kernel/random/boot_id', 'utf8').trim();
  } catch {
    return '';
  }
}
