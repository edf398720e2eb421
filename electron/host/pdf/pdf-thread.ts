/** PDFs set in a thread of their own, so that whoever waits for other answers meanwhile gets them. */
import { join } from 'node:path';
import { Worker } from 'node:worker_threads';
import type { ReportDocument } from '../../../core/export/document/document.ts';
import type { Paper } from '../../../core/export/sheets/sheet-page.ts';
import { programFolder } from '../program-version.ts';
import type { WrittenPdf } from './pdf-report.ts';

export interface PdfOrder {
  readonly report: ReportDocument;
  readonly paper: Paper;
}

/** One thread, started with the first report; close it when there are no more. */
export class PdfThread {
  #worker: Worker | undefined;

  /** The file, as `pdfReport` makes it. One at a time; rejects on a mistake of ours. */
  written(report: ReportDocument, paper: Paper): Promise<WrittenPdf> {
    this.#worker ??= new Worker(join(programFolder(), 'dist', 'electron', 'host', 'pdf', 'pdf-worker.js'));
    const worker = this.#worker;
    return new Promise((resolve, reject) => {
      worker.removeAllListeners();
      worker.once('message', resolve);
      worker.once('error', reject);
      worker.once('exit', () => reject(new RangeError('the thread of PDFs ended without an answer')));
      worker.postMessage({ report, paper } satisfies PdfOrder);
    });
  }

  async close(): Promise<void> {
    this.#worker?.removeAllListeners();
    await this.#worker?.terminate();
    this.#worker = undefined;
  }
}
