/** Surfaces of fields, made in threads of their own: one plans, then each takes a stretch of the cells. */
import { join } from 'node:path';
import { Worker } from 'node:worker_threads';
import { type Result, success } from '../../core/errors.ts';
import type { SurfaceCells } from '../../core/surface/surface-cells.ts';
import { surfaceCells } from '../../core/surface/surface-cells.ts';
import { programFolder } from './program-version.ts';
import type { PlannedSurface, SurfaceNews, SurfaceOrder, SurfaceRequest } from './surface-messages.ts';

export interface FieldSurface extends PlannedSurface {
  /** One row a cell of `plan.cells`. */
  readonly cells: SurfaceCells;
}

export interface SurfaceThreads {
  /** Threads that cells are shared out among; two when absent. */
  readonly threads?: number;
  /** The compiled worker. */
  readonly script?: string;
}

/** Fewer cells than this are not worth a thread; plain means never are. */
const FEW_CELLS = 2000;

/**
 * The surface of a field, as `planSurface` and `surfaceCells` make it: the same numbers whatever the number of threads.
 * Rejects on a mistake of ours.
 */
export async function surfaceOfField(
  request: SurfaceRequest,
  { threads = 2, script = workerScript() }: SurfaceThreads = {},
): Promise<Result<FieldSurface>> {
  const news = await answer(script, { kind: 'plan', ...request });
  if (news.kind !== 'planned') throw new RangeError(`asked for a plan, a thread answered with ${news.kind}`);
  if (!news.result.ok) return news.result;
  const { plan } = news.result.value;
  const count = plan.cells.length;
  const isQuick = plan.method === 'block_mean' || count < FEW_CELLS;
  const cells = isQuick ? surfaceCells(plan) : await sharedOut(plan, threads, script);
  return success({ ...news.result.value, cells }, news.result.notices);
}

async function sharedOut(
  plan: PlannedSurface['plan'],
  threads: number,
  script: string,
): Promise<SurfaceCells> {
  const count = plan.cells.length;
  const ends = Array.from({ length: threads + 1 }, (_, k) => Math.round((k * count) / threads));
  const parts = await Promise.all(
    ends.slice(1).map(async (to, k) => {
      const news = await answer(script, { kind: 'cells', plan, from: ends[k], to });
      if (news.kind !== 'cells') throw new RangeError(`asked for cells, a thread answered with ${news.kind}`);
      return news.cells;
    }),
  );
  const cells = { yield_kg_m2: new Float64Array(count), yield_se_kg_m2: new Float64Array(count) };
  parts.forEach((part, k) => {
    cells.yield_kg_m2.set(part.yield_kg_m2, ends[k]);
    cells.yield_se_kg_m2.set(part.yield_se_kg_m2, ends[k]);
  });
  return cells;
}

function answer(script: string, order: SurfaceOrder): Promise<SurfaceNews> {
  return new Promise((resolve, reject) => {
    const worker = new Worker(script, { workerData: order });
    worker.once('message', resolve);
    worker.once('error', reject);
    worker.once('exit', () => reject(new RangeError('a thread of a surface ended without an answer')));
  });
}

function workerScript(): string {
  return join(programFolder(), 'dist', 'electron', 'host', 'surface-worker.js');
}
