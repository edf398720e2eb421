/** What became of a log's fixes, counted over all fields, and the notices on it: one of a kind a log. */
import type { Notice } from '../errors.ts';

export interface FixCounts {
  readonly fixes: number;
  /** Without a position or a fix. */
  readonly unlocated: number;
  /** At times that repeat or step back. */
  readonly untimely: number;
  /** In the track, though off the machine's way: the smoothed position stands for them. */
  readonly replaced: number;
}

export const NO_FIX_COUNTS: FixCounts = { fixes: 0, unlocated: 0, untimely: 0, replaced: 0 };

/** More replaced fixes than this share want a look. */
const MANY_REPLACED = 0.02;

export function addedCounts(a: FixCounts, b: FixCounts): FixCounts {
  return {
    fixes: a.fixes + b.fixes,
    unlocated: a.unlocated + b.unlocated,
    untimely: a.untimely + b.untimely,
    replaced: a.replaced + b.replaced,
  };
}

export function fixNotices({ fixes, unlocated, untimely, replaced }: FixCounts, source: string): Notice[] {
  const notices: Notice[] = [];
  const tell = (code: string, severity: Notice['severity'], count: number, text: string) => {
    if (count > 0) notices.push({ code, severity, source, count, text: `${count} of ${fixes} ${text}` });
  };
  tell('fixes_without_position', 'info', unlocated, `fixes in ${source} have no position and were left out.`);
  tell(
    'fixes_out_of_time',
    'look',
    untimely,
    `fixes in ${source} repeat a time or step back in time and were left out.`,
  );
  const severity = replaced > MANY_REPLACED * (fixes - unlocated - untimely) ? 'look' : 'info';
  tell(
    'fixes_replaced',
    severity,
    replaced,
    `fixes in ${source} lie off the machine's way and were replaced by its smoothed position.`,
  );
  return notices;
}
