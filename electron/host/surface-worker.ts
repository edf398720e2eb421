/** A worker thread: plans a surface, or makes a stretch of its cells. */
import { parentPort, workerData } from 'node:worker_threads';
import { success } from '../../core/errors.ts';
import { surfaceCells } from '../../core/surface/surface-cells.ts';
import { surfaceDetails } from '../../core/surface/surface-details.ts';
import { planSurface } from '../../core/surface/surface-plan.ts';
import type { SurfaceNews, SurfaceOrder, SurfaceProgress } from './surface-messages.ts';

if (parentPort === null) throw new RangeError('surface-worker.ts runs as a worker thread only');
parentPort.postMessage(answerTo(workerData as SurfaceOrder));

function answerTo(order: SurfaceOrder): SurfaceNews {
  if (order.kind === 'cells')
    return { kind: 'cells', cells: surfaceCells(order.plan, order.from, order.to, tellDone) };
  const plan = planSurface(order.points, order.outline, order.sheet);
  if (!plan.ok) return { kind: 'planned', result: plan };
  const details = surfaceDetails(plan.value, order.sheet);
  return { kind: 'planned', result: success({ plan: plan.value, details }, plan.notices) };
}

function tellDone(done: number): void {
  const news: SurfaceProgress = { kind: 'progress', done };
  parentPort?.postMessage(news);
}
