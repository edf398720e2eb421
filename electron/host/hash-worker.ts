/** A worker thread that hashes pieces of one file while another thread reads them for what they hold. */
import { createHash } from 'node:crypto';
import { parentPort } from 'node:worker_threads';
import type { HashNews, HashOrder } from './thread-hash.ts';

const port = parentPort;
if (port === null) throw new RangeError('hash-worker.ts runs as a worker thread only');

const hash = createHash('sha256');
port.on('message', (order: HashOrder) => {
  const news: HashNews =
    order.kind === 'piece'
      ? { kind: 'hashed', piece: order.piece }
      : { kind: 'ended', sha256: hash.digest('hex') };
  if (order.kind === 'piece') hash.update(order.piece);
  port.postMessage(news);
});
