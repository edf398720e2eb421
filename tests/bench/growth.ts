/**
 * Part of `npm run bench`: how time and memory of the whole chain grow with the length of the logs, up to 30 M edges and a
 * million map points. Each size is a season folder on the disk, read as the host reads it, in a process of its own.
 */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { ChainCost } from './chain-case.ts';
import { writeLongSeason } from './season-copies.ts';

const SIZES = [1_000_000, 3_000_000, 10_000_000, 30_000_000];
const CASE = fileURLToPath(new URL('./chain-case.js', import.meta.url));
/** The best of so many is taken, for other programs run, too; `node dist/tests/bench/growth.js 1` is shorter. */
const RUNS = Number(process.argv[2] ?? 3);

const print = (text: string) => process.stdout.write(`${text}\n`);

print(`\nThe whole chain, files included (load ${loadavg()[0].toFixed(1)}; best of ${RUNS} runs)`);
print('      ticks     points  reading, s  chain, s   all, s  CPU, s  peak MiB  exponent   CPU');
const sizes: { readonly ticks: number; readonly cost: ChainCost }[] = [];
for (const size of SIZES) {
  const folder = mkdtempSync(join(tmpdir(), 'sheaflight-bench-'));
  try {
    const ticks = writeLongSeason(folder, size);
    const costs = Array.from({ length: RUNS }, () => runOnce(folder));
    const cost = costs.reduce((best, one) => (all_s(one) < all_s(best) ? one : best));
    const before = sizes.at(-1);
    sizes.push({ ticks, cost });
    print(
      [
        ticks.toLocaleString('en').padStart(11),
        cost.points.toLocaleString('en').padStart(10),
        cost.reading_s.toFixed(2).padStart(11),
        cost.chain_s.toFixed(2).padStart(9),
        all_s(cost).toFixed(2).padStart(8),
        cost.cpu_s.toFixed(2).padStart(7),
        cost.peak_mib.toFixed(0).padStart(9),
        before === undefined ? '' : slope([before, { ticks, cost }], all_s).toFixed(2).padStart(9),
        before === undefined
          ? ''
          : slope([before, { ticks, cost }], ({ cpu_s }) => cpu_s)
              .toFixed(2)
              .padStart(5),
      ].join(' '),
    );
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
print(
  `exponent over all sizes: ${slope(sizes, all_s).toFixed(3)} of time, ${slope(sizes, ({ cpu_s }) => cpu_s).toFixed(3)} of CPU time (1 is linear; at most 1.05 is asked for)`,
);
const last = sizes[sizes.length - 1].cost;
print(
  `\nSteps of the chain at ${last.points.toLocaleString('en')} points, s (at most 8 for the chain is asked for)`,
);
for (const [step, [clock_s, cpu_s]] of Object.entries(last.steps).sort((a, b) => b[1][0] - a[1][0])) {
  if (clock_s < 0.005) continue;
  print(`  ${step.padEnd(14)} ${clock_s.toFixed(2).padStart(6)} (CPU ${cpu_s.toFixed(2)})`);
}

function runOnce(folder: string): ChainCost {
  return JSON.parse(execFileSync(process.execPath, [CASE, folder], { encoding: 'utf8' }));
}

function all_s({ reading_s, chain_s }: ChainCost): number {
  return reading_s + chain_s;
}

/** Least-squares slope of log time over log length. */
function slope(
  points: readonly { readonly ticks: number; readonly cost: ChainCost }[],
  timeOf: (cost: ChainCost) => number,
): number {
  const x = points.map(({ ticks }) => Math.log(ticks));
  const y = points.map(({ cost }) => Math.log(timeOf(cost)));
  const mean = (column: readonly number[]) => column.reduce((sum, one) => sum + one, 0) / column.length;
  const [xMean, yMean] = [mean(x), mean(y)];
  let above = 0;
  let below = 0;
  x.forEach((one, i) => {
    above += (one - xMean) * (y[i] - yMean);
    below += (one - xMean) ** 2;
  });
  return above / below;
}
