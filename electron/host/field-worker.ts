/** A thread that does some of the work on many fields: see field-threads.ts. */
import { workerData } from 'node:worker_threads';
import { LAGS_OF_FIELD } from '../../core/lag/field-lags.ts';
import type { EachTask } from '../../core/spread.ts';
import { GROUND_OF_FIELD } from '../../core/track/ground-of-field.ts';
import type { FieldNews, FieldOrder, FieldThreadData } from './field-threads.ts';

/** What may be asked for. The name says of what kind the givens are. */
const TASKS: Readonly<Record<string, EachTask<never, never, unknown>>> = {
  [GROUND_OF_FIELD.name]: GROUND_OF_FIELD,
  [LAGS_OF_FIELD.name]: LAGS_OF_FIELD,
};

const { port, signal }: FieldThreadData = workerData;
let common: unknown;

port.on('message', (order: FieldOrder) => {
  if (order.kind === 'common') {
    common = order.common;
    return;
  }
  const task = TASKS[order.name];
  if (task === undefined) throw new RangeError(`no task is called "${order.name}"`);
  say({ kind: 'made', number: order.number, made: task.run(common as never, order.given as never) });
});
say({ kind: 'ready' });

function say(news: FieldNews): void {
  port.postMessage(news);
  Atomics.add(signal, 0, 1);
  Atomics.notify(signal, 0);
}
