/** One run of the whole chain on a season folder, in a process of its own; prints what it took as JSON. */
import { runPipeline } from '../../core/pipeline.ts';
import { acrossThreads, readyThreadsFor } from '../../electron/host/field-threads.ts';
import { openSeasonFolder } from '../../electron/host/season-folder.ts';
import { readSources } from '../../electron/host/sources.ts';

/** What a run took. */
export interface ChainCost {
  /** Reading all files as the host does, and all steps of the chain. */
  readonly reading_s: number;
  readonly chain_s: number;
  /** Of this process's own computing. */
  readonly cpu_s: number;
  readonly chain_cpu_s: number;
  readonly peak_mib: number;
  readonly points: number;
  /** Seconds by step: by the clock, and of computing. */
  readonly steps: Readonly<Record<string, readonly [clock_s: number, cpu_s: number]>>;
}

async function costOf(folder: string): Promise<ChainCost> {
  const open = await openSeasonFolder(folder);
  if (!open.ok) throw new Error(open.error.text);
  const start_ms = performance.now();
  readyThreadsFor(open.value.season.fields.length);
  const sources = await readSources(open.value);
  if (!sources.ok) throw new Error(sources.error.text);
  const read_ms = performance.now();
  const readCpu_s = now().cpu_s;
  const steps: Record<string, readonly [number, number]> = {};
  let step = 'begin';
  let since = now();
  const onStep = (next: string) => {
    const [clock_s, cpu_s] = steps[step] ?? [0, 0];
    const at = now();
    steps[step] = [clock_s + at.clock_s - since.clock_s, cpu_s + at.cpu_s - since.cpu_s];
    step = next.split(':')[0];
    since = at;
  };
  const result = runPipeline(open.value.season, sources.value, {
    progress: () => {},
    shouldStop: () => false,
    generated_by: 'bench',
    spread: acrossThreads,
    onStep,
  });
  if (!result.ok) throw new Error(result.error.text);
  onStep('end');
  return {
    reading_s: (read_ms - start_ms) / 1000,
    chain_s: (performance.now() - read_ms) / 1000,
    cpu_s: now().cpu_s,
    chain_cpu_s: now().cpu_s - readCpu_s,
    peak_mib: process.resourceUsage().maxRSS / 1024,
    points: result.value.points.reduce((sum, { t_s }) => sum + t_s.length, 0),
    steps,
  };
}

function now(): { readonly clock_s: number; readonly cpu_s: number } {
  const { user, system } = process.cpuUsage();
  return { clock_s: performance.now() / 1000, cpu_s: (user + system) / 1e6 };
}

process.stdout.write(JSON.stringify(await costOf(process.argv[2])));
