/** What the system's error codes mean to someone whose season is on that disk, and how to mend it. */
import type { DataError } from '../../core/errors.ts';
import { codeOf } from './file-layer.ts';

const CAUSES: Readonly<Record<string, string>> = {
  ENOSPC: 'the disk is full; free some space and do it again',
  EDQUOT: 'your share of the disk is used up; free some space and do it again',
  EACCES: 'you may not write there; change the permissions of the folder, or copy the season elsewhere',
  EPERM: 'you may not write there; change the permissions of the folder, or copy the season elsewhere',
  EROFS: 'the disk can only be read; copy the season to another one',
  ENOENT: 'the folder is not there any more (look whether the disk is still connected)',
  ENOTDIR: 'a part of the path is a file, not a folder',
  EISDIR: 'a folder of that name stands there; move it away',
  EBUSY: 'another program holds it open; close it there and do it again',
  ENAMETOOLONG: 'the path is too long; choose a shorter name',
  EFBIG: 'the disk cannot hold a file that large',
  EIO: 'the disk has an error; copy the season to another one',
  EMFILE: 'too many files are open; close some programs and do it again',
};

/** Codes of a disk that has no room. */
const FULL = ['ENOSPC', 'EDQUOT'];
/** Codes of a place that may be read and not written. */
const READ_ONLY = ['EACCES', 'EPERM', 'EROFS'];

/**
 * One sentence for a write that did not succeed: `what` completes "could not …", e.g. "save season.json".
 * Throws `caught` on when it is no answer of the system: then it is a mistake of ours.
 */
export function diskFault(caught: unknown, what: string, source: string): DataError {
  const code = codeOf(caught);
  if (code === '') throw caught;
  const text = `Could not ${what}: ${diskCause(caught)}. Nothing was lost: everything is as it was before.`;
  return { code: faultCode(code), source, text };
}

/** What the system's answer means and how to mend it: one clause. */
export function diskCause(caught: unknown): string {
  const code = codeOf(caught);
  return CAUSES[code] ?? `the system answered ${code}`;
}

function faultCode(code: string): string {
  if (FULL.includes(code)) return 'disk_full';
  if (READ_ONLY.includes(code)) return 'read_only';
  return 'cannot_write';
}
