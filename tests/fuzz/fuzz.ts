/**
 * `npm run fuzz [-- --seed 1 --cases 100000 --only "tick log" --index 17]`: every reader, each in a process of its own, so that
 * a crash, a hang or a flood of memory is seen and named. Exit code 1 when anything failed.
 */
import { type ChildProcess, fork } from 'node:child_process';
import { writeSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { type FuzzFailure, type FuzzTotals, kindOf, runCases } from './fuzz-run.ts';
import { TARGETS } from './targets.ts';

/** A case that takes longer hangs. */
const HANG_S = 30;
const MEMORY_MIB = 2048;
/** Where a child tells each case before it: written at once, so that the case in which it hangs is known. */
const CASES_FD = 4;

const { values } = parseArgs({
  options: {
    seed: { type: 'string', default: '1' },
    cases: { type: 'string', default: '110000' },
    only: { type: 'string' },
    index: { type: 'string' },
    child: { type: 'string' },
  },
});
const seed = Number(values.seed);
const wanted = TARGETS.filter(({ name }) => values.only === undefined || name === values.only);
const shares = wanted.reduce((sum, { share = 1 }) => sum + share, 0);

if (values.child !== undefined) await runChild(values.child);
else await runAll();

/** What a child tells its parent in the end. */
interface Message {
  readonly totals: FuzzTotals;
  readonly peak_mib: number;
}

interface Row {
  readonly target: string;
  readonly totals: FuzzTotals | undefined;
  readonly peak_mib: number;
  /** How the child came to its end, when it was not its own. */
  readonly end: string;
}

async function runAll(): Promise<void> {
  const start_ms = performance.now();
  process.stdout.write(
    `seed ${seed}\n${'reader'.padEnd(20)}${'cases'.padStart(8)}${'read'.padStart(8)}${'failed'.padStart(8)}${'slowest ms'.padStart(12)}${'of bytes'.padStart(10)}${'of time'.padStart(9)}${'MB/s'.padStart(8)}${'peak MiB'.padStart(10)}\n`,
  );
  const rows: Row[] = [];
  const waiting = [...wanted];
  const lane = async () => {
    for (let target = waiting.shift(); target; target = waiting.shift()) {
      const row = await inChild(target.name);
      rows.push(row);
      process.stdout.write(lineOf(row));
    }
  };
  await Promise.all([lane(), lane()]);
  const cases = rows.reduce((sum, { totals }) => sum + (totals?.cases ?? 0), 0);
  const failed = rows.reduce(
    (sum, { totals, end }) => sum + (totals?.failures.length ?? 0) + (end === '' ? 0 : 1),
    0,
  );
  process.stdout.write(
    `${cases} cases, ${failed} failed, ${((performance.now() - start_ms) / 1000).toFixed(0)} s\n`,
  );
  for (const row of rows) process.stdout.write(failuresOf(row));
  process.exitCode = failed > 0 ? 1 : 0;
}

function lineOf({ target, totals, peak_mib, end }: Row): string {
  if (!totals) return `${target.padEnd(20)} ${end}\n`;
  const speed = (2 * totals.bytes) / 1e6 / totals.seconds;
  const cells = [
    String(totals.cases).padStart(8),
    String(totals.answered).padStart(8),
    String(totals.failures.length).padStart(8),
    totals.slowest_ms.toFixed(1).padStart(12),
    String(totals.slowest_bytes).padStart(10),
    `${Math.round(100 * totals.slowest_share)} %`.padStart(9),
    speed.toFixed(1).padStart(8),
    peak_mib.toFixed(0).padStart(10),
  ];
  return `${target.padEnd(20)}${cells.join('')}\n`;
}

/** Each kind of failure once, with how often it came and its smallest case. */
function failuresOf({ target, totals }: Row): string {
  const kinds = new Map<string, FuzzFailure[]>();
  for (const failure of totals?.failures ?? []) {
    const kind = kindOf(failure.what);
    kinds.set(kind, [...(kinds.get(kind) ?? []), failure]);
  }
  return [...kinds.values()]
    .map((same) => {
      const [least] = same.toSorted((a, b) => a.bytes.length - b.bytes.length);
      const bytes = Buffer.from(least.bytes);
      const shown = JSON.stringify(bytes.subarray(0, 300).toString('latin1'));
      return `\n${target}, ${same.length} ×, --only "${target}" --index ${least.index}: ${least.what}\n  ${bytes.length} bytes ${shown}\n`;
    })
    .join('');
}

function inChild(target: string): Promise<Row> {
  return new Promise((resolve) => {
    const child = fork(
      fileURLToPath(import.meta.url),
      [
        ...['--child', target, '--seed', String(seed), '--cases', String(values.cases)],
        ...(values.only === undefined ? [] : ['--only', values.only]),
        ...(values.index === undefined ? [] : ['--index', values.index]),
      ],
      {
        execArgv: [`--max-old-space-size=${MEMORY_MIB}`],
        serialization: 'advanced',
        stdio: ['inherit', 'inherit', 'inherit', 'ipc', 'pipe'],
      },
    );
    let at = '';
    let moved_ms = performance.now();
    let end = '';
    let row: Row | undefined;
    const watch = setInterval(() => {
      if (performance.now() - moved_ms < 1000 * HANG_S) return;
      end = `hangs in case ${at}`;
      stop(child);
    }, 1000);
    child.stdio[CASES_FD]?.on('data', (told: Buffer) => {
      moved_ms = performance.now();
      at = told.toString().trimEnd().split('\n').at(-1) ?? at;
    });
    child.on('message', ({ totals, peak_mib }: Message) => {
      row = { target, totals, peak_mib, end };
    });
    child.on('exit', (code, signal) => {
      clearInterval(watch);
      if (end === '' && !row) end = `died (${signal ?? code}) in case ${at}`;
      resolve(row ?? { target, totals: undefined, peak_mib: 0, end });
    });
  });
}

function stop(child: ChildProcess): void {
  child.kill('SIGKILL');
}

async function runChild(name: string): Promise<void> {
  const target = TARGETS.find((one) => one.name === name);
  if (!target || !process.send) throw new RangeError(`there is no reader ${name}`);
  const send = (message: Message) => new Promise<void>((resolve) => process.send?.(message, () => resolve()));
  const only = values.index === undefined ? undefined : Number(values.index);
  const totals = await runCases(target, {
    seed,
    first: only ?? 0,
    cases: only === undefined ? Math.ceil((Number(values.cases) * (target.share ?? 1)) / shares) : 1,
    onCase: (index) => writeSync(CASES_FD, `${index}\n`),
    shrink: 'shrink',
  });
  await send({ totals, peak_mib: process.resourceUsage().maxRSS / 1024 });
  process.disconnect();
}
