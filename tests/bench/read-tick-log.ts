/**
 * How fast tick logs are read, by their length: `npx tsc -b && node dist/tests/bench/read-tick-log.js`.
 * Prints a table; nothing is asserted, for times belong to the machine. Edges come at a paddle's pace (13 a second, two
 * edges each), fixes five times a second in three sentences, and the counter wraps at 32 bits as loggers' do.
 */
import { createLogReader } from '../../core/pipeline/log-reader.ts';

const CHUNK_BYTES = 65_536;
const DARK_US = 28_000;
const LIT_US = 47_000;
const FIX_US = 200_000;

interface Log {
  readonly chunks: readonly Uint8Array[];
  readonly bytes: number;
}

function makeLog(edges: number, fixes: 'none' | 'five a second'): Log {
  const chunks: Uint8Array[] = [];
  let bytes = 0;
  let text = '';
  let tick_us = 4_000_000_000;
  let nextFix_us = fixes === 'none' ? Number.POSITIVE_INFINITY : tick_us;
  const flush = () => {
    const chunk = new TextEncoder().encode(text);
    chunks.push(chunk);
    bytes += chunk.length;
    text = '';
  };
  for (let i = 0; i < edges; i++) {
    for (; tick_us >= nextFix_us; nextFix_us += FIX_US) text += fixLines(nextFix_us);
    text += `${tick_us % 2 ** 32},${1 - (i % 2)}\n`;
    tick_us += (i % 2 === 0 ? DARK_US : LIT_US) + ((i * 7919) % 1000);
    if (text.length > CHUNK_BYTES) flush();
  }
  flush();
  return { chunks, bytes };
}

function fixLines(tick_us: number): string {
  const clock = new Date(Math.round(tick_us / 1000)).toISOString().slice(11, 22).replaceAll(':', '');
  return [
    `GPGGA,${clock},4134.49795459,N,09345.03431408,W,4,10,0.9,278.161,M,-31.442,M,6.6,0133`,
    `GPRMC,${clock},A,4134.49795459,N,09345.03431408,W,3.148,124.888,180320,11.5985,E,D`,
    `GPVTG,124.888,T,,M,3.148,N,5.83,K,D`,
  ]
    .map((body) => `${tick_us % 2 ** 32},${sealed(body)}\n`)
    .join('');
}

function sealed(body: string): string {
  let sum = 0;
  for (let i = 0; i < body.length; i++) sum ^= body.charCodeAt(i);
  return `$${body}*${sum.toString(16).toUpperCase().padStart(2, '0')}`;
}

function measure(edges: number, fixes: 'none' | 'five a second'): Record<string, string | number> {
  const log = makeLog(edges, fixes);
  const start_ms = performance.now();
  const reader = createLogReader('bench.log', {});
  for (const chunk of log.chunks) reader.push(chunk);
  const result = reader.finish();
  const time_s = (performance.now() - start_ms) / 1000;
  if (!result.ok) throw new Error(result.error.text);
  if (result.value.kind !== 'runs') throw new Error('not read as a tick log');
  const { lines, runs } = result.value.reading;
  return {
    'edge lines': edges,
    fixes: runs[0].fixes.utc_s.length,
    'size, MB': Math.round(log.bytes / 1e6),
    'time, s': Number(time_s.toFixed(3)),
    'lines, M/s': Number((lines / time_s / 1e6).toFixed(1)),
    'µs a line': Number(((time_s / lines) * 1e6).toFixed(3)),
  };
}

measure(200_000, 'five a second');
console.table([
  ...[100_000, 1_000_000, 10_000_000].map((edges) => measure(edges, 'none')),
  ...[100_000, 1_000_000, 5_000_000].map((edges) => measure(edges, 'five a second')),
]);
