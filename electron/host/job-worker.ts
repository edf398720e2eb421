/** A worker thread: runs one task after the other, away from the thread that answers the window. */
import { type MessagePort, parentPort } from 'node:worker_threads';
import { failure, type Result } from '../../core/errors.ts';
import type { SeasonResult } from '../../core/result.ts';
import { decodeSeason } from '../../core/season-file.ts';
import {
  type BuildTask,
  cancelled,
  type LeaveOrder,
  type WorkerNews,
  type WorkerOrder,
} from './job-messages.ts';
import { runOpenSeason, type SeasonRun } from './run-season.ts';
import { SeasonMemories } from './season-memory.ts';
import { withSharedColumns } from './shared-columns.ts';

const port = parentPort;
if (port === null) throw new RangeError('job-worker.ts runs as a worker thread only');

const memories = new SeasonMemories();

/** So long after its last task a season is written to its cache: nobody waits for the thread then, and changes seldom come alone. */
const REST_MS = 2000;

/** Writing that is to come, by season folder. */
const resting = new Map<string, NodeJS.Timeout>();

port.on('message', async (order: WorkerOrder | LeaveOrder) => {
  if ('leave' in order) {
    await leave(order.leave);
    port.postMessage({ kind: 'left', folder: order.leave } satisfies WorkerNews);
  } else await work(port, order);
});

async function work(port: MessagePort, { task, stop }: WorkerOrder): Promise<void> {
  const flag = new Int32Array(stop);
  const tell = (news: WorkerNews, moved: ArrayBuffer[] = []) => port.postMessage(news, moved);
  clearTimeout(resting.get(task.folder));
  try {
    const result = await built(task, (stage, fraction) => tell({ kind: 'progress', stage, fraction }), flag);
    saveSoon(task.folder);
    tell(...handedOver(result, task));
  } catch (caught) {
    const stack = caught instanceof Error ? (caught.stack ?? caught.message) : String(caught);
    tell({ kind: 'fault', stack });
  }
}

async function leave(folder: string): Promise<void> {
  clearTimeout(resting.get(folder));
  resting.delete(folder);
  await memories.of(folder).cache.save();
  memories.forget(folder);
}

async function built(
  task: BuildTask,
  onProgress: (stage: string, fraction: number) => void,
  flag: Int32Array,
): Promise<Result<SeasonRun>> {
  const shouldStop = () => Atomics.load(flag, 0) === 1;
  const decoded = decodeSeason(task.sheet);
  if (!decoded.ok) return failure(decoded.error, decoded.notices);
  if (shouldStop()) return cancelled();
  const open = { folder: task.folder, season: decoded.value };
  const memory = memories.of(task.folder);
  const options = { shouldStop, purpose: task.purpose, memory, cache: memory.cache };
  return runOpenSeason(open, decoded.notices, onProgress, options);
}

/**
 * How the result goes over without a copy for every change: what came from the disk is nobody's but the receiver's, and is
 * moved; what the memo keeps too is shared.
 */
function handedOver(ended: Result<SeasonRun>, { purpose }: BuildTask): [WorkerNews, ArrayBuffer[]] {
  if (!ended.ok) return [{ kind: 'ended', result: ended }, []];
  if (purpose === 'warming') return [{ kind: 'ended', result: cancelled() }, []];
  const { result, isFromCache } = ended.value;
  if (isFromCache) return [{ kind: 'ended', result: ended }, buffersOf(result)];
  const shared: SeasonRun = { ...ended.value, result: withSharedColumns(result) };
  return [{ kind: 'ended', result: { ...ended, value: shared } }, []];
}

function buffersOf(result: SeasonResult): ArrayBuffer[] {
  const buffers = new Set<ArrayBuffer>();
  for (const points of result.points) {
    for (const column of Object.values(points)) {
      if (ArrayBuffer.isView(column) && column.buffer instanceof ArrayBuffer) buffers.add(column.buffer);
    }
  }
  return [...buffers];
}

function saveSoon(folder: string): void {
  const save = async () => {
    const notice = await memories.of(folder).cache.save();
    if (notice !== undefined) port?.postMessage({ kind: 'remark', folder, notice } satisfies WorkerNews);
  };
  resting.set(
    folder,
    setTimeout(() => void save(), REST_MS),
  );
}
