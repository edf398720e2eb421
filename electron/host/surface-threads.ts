/** Surfaces of fields, made in threads of their own: one plans, then each takes a stretch of the cells. */
import { join } from 'node:path';
import { Worker } from 'node:worker_threads';
import { type Result, success } from '../../core/errors.ts';
import type { SurfaceCells } from '../../core/surface/surface-cells.ts';
import { surfaceCells } from '../../core/surface/surface-cells.ts';
import { cancelled } from './job-messages.ts';
import { programFolder } from './program-version.ts';
import type {
  PlannedSurface,
  SurfaceNews,
  SurfaceOrder,
  SurfaceProgress,
  SurfaceRequest,
} from './surface-messages.ts';

export interface FieldSurface extends PlannedSurface {
  /** One row a cell of `plan.cells`. */
  readonly cells: SurfaceCells;
}

export interface SurfaceThreads {
  /** Threads that cells are shared out among; two when absent. */
  readonly threads?: number;
  /** The compiled worker. */
  readonly script?: string;
  /** Ends the threads; the surface is then refused as `cancelled`. */
  readonly signal?: AbortSignal;
  /** Told what is being done, and the share of the whole. */
  readonly onProgress?: (stage: string, fraction: number) => void;
}

/** Share of the whole that the plan takes: variogram and test. A guess of ours. */
const PLAN_SHARE = 0.3;
/** Fewer cells than this are not worth a thread; plain means never are. */
const FEW_CELLS = 2000;

/**
 * The surface of a field, as `planSurface` and `surfaceCells` make it: the same numbers whatever the number of threads.
 * Rejects on a mistake of ours.
 */
export async function surfaceOfField(
  request: SurfaceRequest,
  how: SurfaceThreads = {},
): Promise<Result<FieldSurface>> {
  how.onProgress?.('finding how alike yields are', 0);
  const news = await answer({ kind: 'plan', ...request }, how);
  if (news === undefined) return cancelled();
  if (news.kind !== 'planned') throw new RangeError(`asked for a plan, a thread answered with ${news.kind}`);
  if (!news.result.ok) return news.result;
  const { plan } = news.result.value;
  const count = plan.cells.length;
  const isQuick = plan.method === 'block_mean' || count < FEW_CELLS;
  const cells = isQuick ? surfaceCells(plan) : await sharedOut(plan, how);
  if (cells === undefined) return cancelled();
  return success({ ...news.result.value, cells }, news.result.notices);
}

/** Undefined when it was stopped. */
async function sharedOut(
  plan: PlannedSurface['plan'],
  how: SurfaceThreads,
): Promise<SurfaceCells | undefined> {
  const { threads = 2, onProgress } = how;
  const count = plan.cells.length;
  const ends = Array.from({ length: threads + 1 }, (_, k) => Math.round((k * count) / threads));
  const done = new Array<number>(threads).fill(0);
  const parts = await Promise.all(
    ends.slice(1).map((to, k) =>
      answer({ kind: 'cells', plan, from: ends[k], to }, how, (cells) => {
        done[k] = cells;
        const sum = done.reduce((a, b) => a + b, 0);
        onProgress?.('making the surface', PLAN_SHARE + (1 - PLAN_SHARE) * (sum / count));
      }),
    ),
  );
  const cells = { yield_kg_m2: new Float64Array(count), yield_se_kg_m2: new Float64Array(count) };
  for (const [k, news] of parts.entries()) {
    if (news === undefined) return undefined;
    if (news.kind !== 'cells') throw new RangeError(`asked for cells, a thread answered with ${news.kind}`);
    cells.yield_kg_m2.set(news.cells.yield_kg_m2, ends[k]);
    cells.yield_se_kg_m2.set(news.cells.yield_se_kg_m2, ends[k]);
  }
  return cells;
}

/** Undefined when it was stopped. */
function answer(
  order: SurfaceOrder,
  { script = workerScript(), signal }: SurfaceThreads,
  onCells?: (done: number) => void,
): Promise<SurfaceNews | undefined> {
  if (signal?.aborted) return Promise.resolve(undefined);
  return new Promise((resolve, reject) => {
    const worker = new Worker(script, { workerData: order });
    const stop = () => {
      resolve(undefined);
      void worker.terminate();
    };
    signal?.addEventListener('abort', stop, { once: true });
    worker.on('message', (news: SurfaceNews | SurfaceProgress) => {
      if (news.kind === 'progress') onCells?.(news.done);
      else resolve(news);
    });
    worker.once('error', reject);
    worker.once('exit', () => {
      signal?.removeEventListener('abort', stop);
      reject(new RangeError('a thread of a surface ended without an answer'));
    });
  });
}

function workerScript(): string {
  return join(programFolder(), 'dist', 'electron', 'host', 'surface-worker.js');
}
