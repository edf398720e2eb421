/** A log that is written last line first: every line is there, and yet nothing in it can be laid on the clock. */
import type { Damage, DataError } from '../errors.ts';

/** Fewer lines say little about the order of a file. A choice of ours. */
const FEWEST_LINES = 20;
/** A log that runs forward has no more than this share of its lines out of order, however damaged. A choice of ours. */
const BACKWARDS_SHARE = 0.8;

/** The error of a log nearly all lines of which stand before the one that they follow; undefined for any other. */
export function runsBackwards(
  source: string,
  { lines, damage }: { readonly lines: number; readonly damage: readonly Damage[] },
): DataError | undefined {
  const countOf = (kind: Damage['kind']) => damage.find((one) => one.kind === kind)?.count ?? 0;
  const back = countOf('out_of_order');
  const read = lines - countOf('skipped_sentence');
  if (read < FEWEST_LINES || back < BACKWARDS_SHARE * read) return undefined;
  return {
    code: 'time_runs_backwards',
    source,
    text: `${source}: its times run backwards (${back} of ${lines} lines are earlier than the one before), so it was left out. It was sorted the wrong way round or written last line first: take the file as the logger wrote it, or turn the order of its lines round.`,
  };
}
