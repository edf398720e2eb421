/** A worker thread: sets reports as PDFs, one after the other. */
import { parentPort } from 'node:worker_threads';
import { pdfReport } from './pdf-report.ts';
import type { PdfOrder } from './pdf-thread.ts';

const port = parentPort;
if (port === null) throw new RangeError('pdf-worker.ts runs as a worker thread only');
port.on('message', async ({ report, paper }: PdfOrder) => port.postMessage(await pdfReport(report, paper)));
