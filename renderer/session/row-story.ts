/** What the chain did to a point beyond its own numbers: where its grain was moved to, and which load it was weighed in. */
import type { FieldPoints } from '../../core/result.ts';
import { decimal } from '../text/quantities.ts';
import type { Built } from './session-state.ts';

/** Short sentences for the readout of a row. */
export function rowStory(built: Built | null, columns: FieldPoints, row: number): string[] {
  if (built === null) return [];
  const { machines, loads, summary } = built.reply;
  const machine = machines[columns.machine[row]];
  const lag = summary.lags.find((one) => one.field === columns.field && one.machine === machine);
  const sentences: string[] = [];
  if (lag && Number.isFinite(lag.applied_s))
    sentences.push(`Grain taken back ${decimal(lag.applied_s, 1)} s, to where it was cut.`);
  const load = loads[columns.load[row]];
  if (load === undefined) sentences.push('In no weighed load.');
  else sentences.push(`Weighed with the load of ticket ${load.ticket}.`);
  return sentences;
}
