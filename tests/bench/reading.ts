/**
 * Part of `npm run bench`: how fast a season's worth of log is taken in, beside what any program must do to read it. A tick log
 * of 30 M edges with positions between is written to the system's temporary folder; each case runs in a process of its own,
 * all of them one after the other, again and again, and the best time of each counts. `npm run bench -- 3000000` is shorter.
 */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { writeLongLog } from './long-log.ts';
import type { ReadingCost } from './reading-case.ts';

const EDGES = Number(process.argv[2] ?? 30_000_000);
const RUNS = 3;
const CASE = fileURLToPath(new URL('./reading-case.js', import.meta.url));

/** Case, what it is, and how many times its work would have to be done for the whole file. */
const CASES = [
  ['bytes', 'all bytes read, line ends counted', 1],
  ['machine', 'bare state machine, sums dark time only', 1],
  ['papaparse', 'papaparse, of a tenth, times ten', 10],
  ['look', 'looking into it for an import: SHA-256, all lines, outline', 1],
  ['import', 'whole import: looked into, copied, flushed, read back, listed', 1],
  ['reduce', 'reading for a build: SHA-256, all lines, paddles and fixes', 1],
] as const;

const print = (text: string) => process.stdout.write(`${text}\n`);

const folder = mkdtempSync(join(tmpdir(), 'sheaflight-bench-'));
try {
  const log = join(folder, 'long.log');
  writeLongLog(log, EDGES);
  const mb = statSync(log).size / 1e6;
  const best = new Map<string, ReadingCost>();
  for (let run = 0; run < RUNS; run++) {
    for (const [name] of CASES) {
      const args = [CASE, name, log, join(folder, 'season')];
      const cost: ReadingCost = JSON.parse(execFileSync(process.execPath, args, { encoding: 'utf8' }));
      best.set(name, better(best.get(name), cost));
    }
  }
  print(
    `\nReading a tick log of ${EDGES.toLocaleString('en')} edges, ${mb.toFixed(0)} MB (load ${loadavg()[0].toFixed(1)}; best of ${RUNS} runs)`,
  );
  print('  clock, s   CPU, s     MB/s  of bare, clock   CPU  peak MiB');
  const bare = best.get('machine') as ReadingCost;
  for (const [name, what, times] of CASES) {
    const { clock_s, cpu_s, peak_mib } = best.get(name) as ReadingCost;
    print(
      [
        (clock_s * times).toFixed(2).padStart(10),
        (cpu_s * times).toFixed(2).padStart(8),
        (mb / (clock_s * times)).toFixed(0).padStart(8),
        share(bare.clock_s, clock_s * times).padStart(15),
        share(bare.cpu_s, cpu_s * times).padStart(5),
        peak_mib.toFixed(0).padStart(9),
        ` ${what}`,
      ].join(' '),
    );
  }
  print('Asked for: at least 60 % of the bare state machine, at most 400 MiB.');
} finally {
  rmSync(folder, { recursive: true, force: true });
}

/** The least of each figure, whichever run it is from; the most memory. */
function better(before: ReadingCost | undefined, now: ReadingCost): ReadingCost {
  if (before === undefined) return now;
  return {
    clock_s: Math.min(before.clock_s, now.clock_s),
    cpu_s: Math.min(before.cpu_s, now.cpu_s),
    peak_mib: Math.max(before.peak_mib, now.peak_mib),
    came_to: now.came_to,
  };
}

function share(bare_s: number, own_s: number): string {
  return `${((100 * bare_s) / own_s).toFixed(0)} %`;
}
