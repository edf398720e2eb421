import { describe, expect, it } from 'vitest';
import type { TickLogReading } from '../../../core/read/logger-run.ts';
import type { EdgeLog } from './edge-log.ts';
import { damageCounts, readTickLog, sealed } from './log-text.ts';

const SPAN_US = 2 ** 32;

/** Edge lines at these counters, dark and lit in turn. */
function log(...ticks: readonly number[]): TickLogReading<EdgeLog> {
  return readTickLog(ticks.map((tick, i) => `${tick},${1 - (i % 2)}\n`).join(''));
}

function runs(reading: TickLogReading<EdgeLog>): number[][] {
  return reading.runs.map((run) => Array.from(run.beam.tick_us));
}

/** `count` counters from `from` on, `step` apart. */
function ticks(from: number, count: number, step = 40_000): number[] {
  return Array.from({ length: count }, (_, i) => from + i * step);
}

describe('32-bit counters', () => {
  it('unwraps', () => {
    const reading = log(4_294_900_000, 4_294_940_000, 12_704, 52_704, 92_704);
    expect(runs(reading)).toEqual([
      [4_294_900_000, 4_294_940_000, SPAN_US + 12_704, SPAN_US + 52_704, SPAN_US + 92_704],
    ]);
    expect(reading.damage).toEqual([]);
  });

  it('unwraps on the second line, on the last line, and again and again', () => {
    expect(runs(log(4_294_940_000, 12_704, 52_704))).toEqual([
      [4_294_940_000, SPAN_US + 12_704, SPAN_US + 52_704],
    ]);
    expect(runs(log(4_294_900_000, 4_294_940_000, 12_704))).toEqual([
      [4_294_900_000, 4_294_940_000, SPAN_US + 12_704],
    ]);
    const thrice = log(...[0, 1, 2, 3].flatMap(() => [1e9, 2.5e9, 4e9]));
    expect(runs(thrice)).toEqual([
      [0, 1, 2, 3].flatMap((k) => [1e9, 2.5e9, 4e9].map((tick) => k * SPAN_US + tick)),
    ]);
    expect(thrice.damage).toEqual([]);
  });

  it('is not misled by a late line on either side of the wrap', () => {
    const before = log(4_294_860_000, 4_294_900_000, 12_704, 4_294_940_000, 52_704, 92_704);
    expect(runs(before)).toEqual([
      [4_294_860_000, 4_294_900_000, 4_294_940_000, SPAN_US + 52_704, SPAN_US + 92_704],
    ]);
    expect(damageCounts(before)).toMatchObject({ out_of_order: 1 });
    const after = log(4_294_900_000, 12_704, 52_704, 4_294_940_000, 92_704, 132_704, 172_704);
    expect(runs(after)[0].slice(1)).toEqual(
      [12_704, 52_704, 92_704, 132_704, 172_704].map((tick) => SPAN_US + tick),
    );
    expect(damageCounts(after)).toMatchObject({ out_of_order: 1 });
  });

  it('does not take a fall of a 64-bit counter for a wrap', () => {
    expect(runs(log(...ticks(9e9, 5), ...ticks(1e9, 5)))).toEqual([ticks(9e9, 5), ticks(1e9, 5)]);
  });
});

describe('restarts', () => {
  it('begins a new run when the counter falls by much less than a wrap and goes on from there', () => {
    const reading = log(...ticks(60e6, 100), ...ticks(1200, 100));
    expect(runs(reading)).toEqual([ticks(60e6, 100), ticks(1200, 100)]);
    expect(reading.damage).toEqual([]);
  });

  it('does so for runs of a few lines', () => {
    expect(runs(log(5000, 6000, 7000, 8000, 100, 1100, 2100, 3100, 4100))).toEqual([
      [5000, 6000, 7000, 8000],
      [100, 1100, 2100, 3100, 4100],
    ]);
    expect(runs(log(5000, 6000, 7000, 100, 1100))).toEqual([
      [5000, 6000, 7000],
      [100, 1100],
    ]);
  });

  it('begins the counter of the new run anew after a wrap', () => {
    const reading = log(
      4_294_900_000,
      4_294_940_000,
      12_704,
      52_704,
      ...ticks(2_000_000_000, 4),
      ...ticks(700, 5),
    );
    expect(reading.runs).toHaveLength(2);
    expect(runs(reading)[1]).toEqual(ticks(700, 5));
  });

  it('splits fixes, moisture, header and tilt with the edges', () => {
    const rmc = (clock: string) => sealed(`GPRMC,${clock},A,4134.5,N,09345.03,W,5,92,180320,,,A`);
    const lines = [
      `50000000,${rmc('100000')}`,
      '50100000,1',
      '50200000,M,14',
      '50300000,0',
      '900,H,1',
      `1000,${rmc('100100')}`,
      '2000,M,15',
      '3000,1',
      '4000,T,1,2',
      '5000,0',
    ];
    const reading = readTickLog(lines.join('\n'));
    expect(reading.runs.map((run) => run.fixes.tick_us.length)).toEqual([1, 1]);
    expect(reading.runs.map((run) => Array.from(run.moisture.moisture_pct))).toEqual([[14], [15]]);
    expect(reading.runs.map((run) => run.header.tick_us.length)).toEqual([0, 1]);
    expect(reading.runs.map((run) => run.tilt.tick_us.length)).toEqual([0, 1]);
  });
});

describe('lines out of order', () => {
  it('puts a late edge where the states show that it is missing', () => {
    const reading = readTickLog('1000,1\n2000,0\n4000,0\n3000,1\n5000,1\n6000,0\n7000,0\n8000,1\n');
    expect(runs(reading)).toEqual([[1000, 2000, 3000, 4000, 5000, 6000, 7000, 8000]]);
    expect(Array.from(reading.runs[0].beam.dark)).toEqual([1, 0, 1, 0, 1, 0, 0, 1]);
    // the edge that really is missing keeps its line, although one was put in before it
    expect(reading.damage).toEqual([
      { kind: 'out_of_order', count: 1, first_line: 4 },
      { kind: 'missing_edge', count: 1, first_line: 7 },
    ]);
  });

  it('keeps sentences that were stamped when they began and written after the edges in between', () => {
    const rmc = (s: number) => sealed(`GPRMC,1000${s},A,4134.5,N,09345.03,W,5,92,180320,,,A`);
    const gga = (s: number) => sealed(`GPGGA,1000${s},4134.5,N,09345.03,W,4,12,0.7,280,M,-31,M,,`);
    const lines: string[] = [];
    for (let s = 10; s < 60; s++) {
      const from = s * 1_000_000;
      for (let k = 0; k < 6; k++) lines.push(`${from + 100_000 + k * 20_000},${1 - (k % 2)}`);
      lines.push(`${from + 110_000},${gga(s)}`, `${from + 150_000},${rmc(s)}`, `${from + 160_000},M,14`);
      for (let k = 0; k < 6; k++) lines.push(`${from + 300_000 + k * 20_000},${1 - (k % 2)}`);
      lines.push(`${from + 405_000},M,15`);
    }
    const reading = readTickLog(`${lines.join('\n')}\n`);
    expect(reading.runs).toHaveLength(1);
    const [run] = reading.runs;
    expect(run.beam.tick_us).toHaveLength(600);
    expect(run.moisture.tick_us).toHaveLength(100);
    expect(Array.from(run.fixes.tick_us.subarray(0, 2))).toEqual([10_110_000, 11_110_000]);
    expect(run.fixes.quality.every((quality) => quality === 4)).toBe(true);
    expect(damageCounts(reading)).toEqual({ out_of_order: 150 });
  });

  it('keeps edges that were written after a later sentence', () => {
    const rmc = sealed('GPRMC,100010,A,4134.5,N,09345.03,W,5,92,180320,,,A');
    const reading = readTickLog(`1000,1\n2000,0\n5000,${rmc}\n3000,1\n4000,0\n6000,1\n7000,0\n`);
    expect(runs(reading)).toEqual([[1000, 2000, 3000, 4000, 6000, 7000]]);
    expect(damageCounts(reading)).toEqual({ out_of_order: 2 });
  });

  it('drops a late edge that the states do not miss', () => {
    const reading = log(1000, 2000, 3000, 5000, 4000, 6000, 7000);
    expect(runs(reading)).toEqual([[1000, 2000, 3000, 5000, 6000, 7000]]);
    expect(reading.damage).toContainEqual({ kind: 'out_of_order', count: 1, first_line: 5 });
  });

  it('drops a line that ran ahead rather than all that follow', () => {
    // a half-written "50" glued to the next line "5040000,0"
    const reading = readTickLog('4960000,1\n5000000,0\n505040000,1\n5080000,0\n5120000,1\n5160000,0\n');
    expect(runs(reading)).toEqual([[4_960_000, 5_000_000, 5_080_000, 5_120_000, 5_160_000]]);
    expect(reading.damage).toContainEqual({ kind: 'out_of_order', count: 1, first_line: 3 });
  });

  it('drops a line that ran ahead by more than a wrap', () => {
    const reading = readTickLog('4960000,1\n5000000,0\n500000005040000,1\n5080000,0\n5120000,1\n5160000,0\n');
    expect(runs(reading)).toEqual([[4_960_000, 5_000_000, 5_080_000, 5_120_000, 5_160_000]]);
  });

  it('drops a line far behind, such as one that lost its first digits', () => {
    const reading = log(...ticks(80e6, 4), 12_000, ...ticks(80e6 + 160_000, 4));
    expect(runs(reading)).toEqual([ticks(80e6, 8)]);
    expect(damageCounts(reading)).toMatchObject({ out_of_order: 1 });
  });

  it('drops a buffer that the logger wrote twice, and does not begin a run', () => {
    const all = ticks(1e6, 400);
    const reading = readTickLog(
      [...all.slice(0, 300), ...all.slice(200, 300), ...all.slice(300)]
        .map((tick) => `${tick},${(tick / 40_000) % 2}\n`)
        .join(''),
    );
    expect(runs(reading)).toEqual([all]);
    expect(reading.damage).toEqual([{ kind: 'repeated_line', count: 100, first_line: 301 }]);
  });

  it('drops a buffer that came late', () => {
    const all = ticks(1e6, 400);
    const reading = log(
      ...all.slice(0, 300),
      ...all.slice(310, 330),
      ...all.slice(300, 310),
      ...all.slice(330),
    );
    expect(reading.runs).toHaveLength(1);
    expect(runs(reading)[0]).toEqual([...all.slice(0, 300), ...all.slice(310)]);
    expect(damageCounts(reading)).toMatchObject({ out_of_order: 10 });
  });

  it('drops one late line at the end of the file', () => {
    expect(runs(log(1000, 2000, 3000, 4000, 3500))).toEqual([[1000, 2000, 3000, 4000]]);
  });

  it('drops the line that ran far ahead when the file ends one line later', () => {
    expect(runs(log(1_000_000, 2_000_000, 900_000_000, 3_000_000))).toEqual([
      [1_000_000, 2_000_000, 3_000_000],
    ]);
  });

  it('loses no line of a falling sequence without counting it', () => {
    const reading = log(9000, 8000, 7000, 6000, 5000);
    const kept = runs(reading).flat().length;
    expect(kept + (damageCounts(reading).out_of_order ?? 0)).toBe(5);
  });

  it('takes a standstill of hours as it is', () => {
    expect(runs(log(1000, 2000, 20e9, 20e9 + 1000, 20e9 + 2000))).toEqual([
      [1000, 2000, 20e9, 20e9 + 1000, 20e9 + 2000],
    ]);
  });
});
