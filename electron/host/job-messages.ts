/** What the host's main thread and its workers say to each other. */
import type { Notice, Result } from '../../core/errors.ts';
import type { SeasonRun } from './run-season.ts';

/** A whole run of the chain, on the season as it stood when it was asked for. */
export interface BuildTask {
  /** Absolute path of the season folder, links resolved. */
  readonly folder: string;
  /** The text of the sheet. */
  readonly sheet: string;
  /**
   * `trial`: the sheet is only being tried; `warming`: nobody waits for the result, but the next change is to be quick; absent:
   * it is the season's own, and its result is wanted.
   */
  readonly purpose?: 'result' | 'trial' | 'warming';
}

/** Sent to a worker. `stop` is one 32-bit number; 1 asks the work to end. */
export interface WorkerOrder {
  readonly task: BuildTask;
  readonly stop: SharedArrayBuffer;
}

/** Sent to a worker when a season is closed: what waits to be kept is written at once, and the folder is left alone after that. */
export interface LeaveOrder {
  readonly leave: string;
}

/** Sent by a worker: any number of times `progress`, then one of the others. */
export type WorkerNews =
  | { readonly kind: 'progress'; readonly stage: string; readonly fraction: number }
  | { readonly kind: 'ended'; readonly result: Result<SeasonRun> }
  /** At any time: what has become of keeping results on the disk. */
  | { readonly kind: 'remark'; readonly folder: string; readonly notice: Notice }
  /** The answer to a `LeaveOrder`. */
  | { readonly kind: 'left'; readonly folder: string }
  /** Our own mistake; the stack for the report. */
  | { readonly kind: 'fault'; readonly stack: string };

/** What is said when nothing came of it because it was stopped. */
export function cancelled(notices: readonly Notice[] = []): Result<never> {
  const text = 'Stopped before the end; nothing was written.';
  return { ok: false, error: { code: 'cancelled', source: 'season.json', text }, notices };
}
