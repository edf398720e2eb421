/** A worker thread: runs one task after the other, away from the thread that answers the window. */
import { parentPort } from 'node:worker_threads';
import { failure, type Result } from '../../core/errors.ts';
import { decodeSeason } from '../../core/season-file.ts';
import { type BuildTask, cancelled, type WorkerNews, type WorkerOrder } from './job-messages.ts';
import { runOpenSeason, type SeasonRun } from './run-season.ts';
import { SeasonMemories } from './season-memory.ts';
import { withSharedColumns } from './shared-columns.ts';

const port = parentPort;
if (port === null) throw new RangeError('job-worker.ts runs as a worker thread only');

const memories = new SeasonMemories();

port.on('message', async ({ task, stop }: WorkerOrder) => {
  const flag = new Int32Array(stop);
  const tell = (news: WorkerNews) => port.postMessage(news);
  try {
    const result = await built(task, (stage, fraction) => tell({ kind: 'progress', stage, fraction }), flag);
    tell({ kind: 'ended', result });
  } catch (caught) {
    const stack = caught instanceof Error ? (caught.stack ?? caught.message) : String(caught);
    tell({ kind: 'fault', stack });
  }
});

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
  const run = await runOpenSeason(open, decoded.notices, onProgress, {
    shouldStop,
    purpose: task.purpose,
    memory: memories.of(task.folder),
  });
  if (!run.ok) return run;
  return { ...run, value: { ...run.value, result: withSharedColumns(run.value.result) } };
}
