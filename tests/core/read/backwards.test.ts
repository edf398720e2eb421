/** Logs that are written last line first, with and without a counter. */
import { describe, expect, it } from 'vitest';
import { inspectFile } from '../../../core/import/inspect-file.ts';
import { readLog } from '../../../core/pipeline/log-reader.ts';
import { sealed } from './log-text.ts';

const bytesOf = (lines: readonly string[]) => new TextEncoder().encode(`${lines.join('\n')}\n`);
const clock = (s: number) =>
  `10${String(Math.floor(s / 60)).padStart(2, '0')}${String(s % 60).padStart(2, '0')}`;
const rmc = (s: number) => sealed(`GPRMC,${clock(s)},A,4134.5,N,09343.03,W,5,92,180320,,,A`);
const gga = (s: number) => sealed(`GPGGA,${clock(s)},4134.5,N,09343.03,W,4,12,0.7,300,M,-32,M,,`);
const SECONDS = Array.from({ length: 60 }, (_, s) => s);
const KINDS: readonly (readonly [string, readonly string[]])[] = [
  ['a tick log', SECONDS.flatMap((s) => [`${s}000000,${gga(s)}`, `${s}200000,1`, `${s}300000,0`])],
  ['sentences without a counter', SECONDS.flatMap((s) => [gga(s), rmc(s)])],
];

function codeOf(lines: readonly string[]): string | undefined {
  const read = readLog('logs/a.log', bytesOf(lines), {});
  return read.ok ? undefined : read.error.code;
}

describe.each(KINDS)('%s', (_, lines) => {
  it('is read forward, and with a stretch out of order', () => {
    expect(codeOf(lines)).toBeUndefined();
    const stretch = [...lines.slice(0, 20), ...lines.slice(20, 60).reverse(), ...lines.slice(60)];
    expect(codeOf(stretch)).toBeUndefined();
  });

  it('is refused when it runs backwards, and told so on import', () => {
    expect(codeOf(lines.toReversed())).toBe('time_runs_backwards');
    const found = inspectFile('a.log', bytesOf(lines.toReversed()), { decode: String });
    expect(found.error?.text).toMatch(/^a\.log: its times run backwards/);
  });
});

it('sentences over midnight run forward', () => {
  const night = ['235958', '235959', '000000', '000001'].map((time) =>
    sealed(`GPGGA,${time},4134.5,N,09343.03,W,4,12,0.7,300,M,-32,M,,`),
  );
  const read = readLog('logs/a.nmea', bytesOf(night), {});
  if (!read.ok || read.value.kind !== 'runs') throw new Error('was not read');
  expect(read.value.reading.damage).toEqual([]);
});
