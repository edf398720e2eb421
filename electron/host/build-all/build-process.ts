/** The process that builds one season, so that whatever becomes of it is nothing to the others. `season-process.ts` starts it. */
import { join } from 'node:path';
import { type Result, success } from '../../../core/errors.ts';
import { oneByOne } from '../../../core/spread.ts';
import type { WritingOptions, WrittenFile } from '../atomic-write.ts';
import { type ResultGrounds, SeasonCache } from '../cache/season-cache.ts';
import { diskFault } from '../disk-faults.ts';
import { diskLayer } from '../file-layer.ts';
import { isAlive } from '../process-life.ts';
import { runSeason, type SeasonRun } from '../run-season.ts';
import { writeOutputs } from '../season-outputs.ts';
import type { BuildNews, BuildOrder } from './build-messages.ts';
import { builtKey, RECORD_FILE, writeRecord } from './built-record.ts';

/** Layers in the formats of other programs, inside the folder of the outputs. */
const EXPORT_FOLDER = 'export';

const parent = process.ppid;

process.once('message', (order: BuildOrder) => {
  build(order)
    .catch((caught: unknown) => {
      const stack = caught instanceof Error ? (caught.stack ?? caught.message) : String(caught);
      return told({ kind: 'fault', stack });
    })
    .finally(() => process.exit());
});

async function build(order: BuildOrder): Promise<void> {
  let cache: SeasonCache | undefined;
  let grounds: ResultGrounds | undefined;
  const run = await runSeason(order.folder, tellProgress, (folder) => {
    if (order.usesCache) cache = new SeasonCache(folder);
    return {
      cache,
      shouldStop: isOrphan,
      onGrounds: (known) => {
        grounds = known;
      },
      ...(order.isOneOfMany ? { spread: oneByOne } : {}),
    };
  });
  if (!run.ok) return told({ kind: 'failed', error: run.error });
  if (grounds === undefined) throw new RangeError('a result that rests on nothing');
  const key = builtKey(grounds, order);
  const written = await whileWanted((signal) => writeAll(order, run.value, key, signal));
  if (!written.ok) return told({ kind: 'failed', error: written.error });
  for (const { text } of written.notices) await told({ kind: 'remark', text });
  await told({ kind: 'built' });
  const unkept = await cache?.save();
  if (unkept !== undefined) await told({ kind: 'remark', text: unkept.text });
}

/** All that was ordered, then the record of it. */
async function writeAll(
  order: BuildOrder,
  run: SeasonRun,
  key: string,
  signal: AbortSignal,
): Promise<Result<WrittenFile[]>> {
  tellProgress('writing', 0);
  const options: WritingOptions = { layer: diskLayer, signal };
  const outputs = await writeOutputs(order.out, run, order, options);
  if (!outputs.ok) return outputs;
  const exported = await writeExports(order, run, options);
  if (!exported.ok) return exported;
  const files = [...outputs.value, ...exported.value];
  try {
    await writeRecord(order.out, key, files, diskLayer);
  } catch (caught) {
    const error = diskFault(caught, `write ${RECORD_FILE} in ${order.out}`, order.out);
    return { ok: false, error, notices: [] };
  }
  return success(files, exported.notices);
}

async function writeExports(
  { out, exports, points, eachField }: BuildOrder,
  run: SeasonRun,
  options: WritingOptions,
): Promise<Result<readonly WrittenFile[]>> {
  if (exports === undefined) return success([]);
  const { writeLayers } = await import('../export/layer-export.ts');
  const { freshSurface } = await import('../export/layer-sets.ts');
  const units = exports.units ?? run.season.units ?? 'metric';
  const choice = { ...exports, points, units, files: eachField ? 'each' : 'together' } as const;
  const written = await writeLayers(join(out, EXPORT_FOLDER), run, choice, {
    ...options,
    onProgress: tellProgress,
    surfaceOf: freshSurface,
  });
  return written.ok ? success(written.value.files, written.notices) : written;
}

/** Files are being written: a stop, or the end of whoever ordered them, removes the half-written ones first. */
async function whileWanted<T>(work: (signal: AbortSignal) => Promise<T>): Promise<T> {
  const stop = new AbortController();
  const onEnd = () => stop.abort();
  process.once('SIGINT', onEnd);
  process.once('SIGTERM', onEnd);
  process.once('disconnect', onEnd);
  if (isOrphan()) onEnd();
  return work(stop.signal);
}

/** Nobody waits for the results any more. */
function isOrphan(): boolean {
  return process.ppid !== parent || !isAlive(parent);
}

let told_ms = 0;

/** A few times a second. */
function tellProgress(stage: string, share: number): void {
  const now_ms = performance.now();
  if (now_ms - told_ms < 100) return;
  told_ms = now_ms;
  void told({ kind: 'progress', stage, share });
}

/** Nobody to tell is no fault. */
function told(news: BuildNews): Promise<void> {
  return new Promise((resolve) => {
    if (process.send === undefined || !process.connected) resolve();
    else process.send(news, undefined, undefined, () => resolve());
  });
}
