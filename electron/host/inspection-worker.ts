/** A worker thread that looks into files, away from the thread that answers the window. */
import { parentPort } from 'node:worker_threads';
import { inspectPath } from './import-inspection.ts';
import type { InspectionNews, InspectionOrder } from './inspection-threads.ts';

const port = parentPort;
if (port === null) throw new RangeError('inspection-worker.ts runs as a worker thread only');

port.on('message', async ({ path, name, wish, stop }: InspectionOrder) => {
  const flag = new Int32Array(stop);
  const tell = (news: InspectionNews) => port.postMessage(news);
  try {
    const result = await inspectPath(path, name, {
      ...wish,
      shouldStop: () => Atomics.load(flag, 0) === 1,
      onRead: (bytes) => tell({ kind: 'read', bytes }),
    });
    tell({ kind: 'ended', result });
  } catch (caught) {
    tell({ kind: 'fault', caught });
  }
});
