import { describe, expect, it } from 'vitest';
import type { LoggerRun, TickLogReading } from '../../../core/read/logger-run.ts';
import { joinRuns } from '../../../core/read/runs.ts';
import { createEdgeReader, type EdgeLog } from './edge-log.ts';
import { bytesOf, sealed } from './log-text.ts';

function reading(source: string, ...lines: string[]): TickLogReading<EdgeLog> {
  const reader = createEdgeReader(source);
  reader.push(bytesOf(`${lines.join('\n')}\n`));
  const result = reader.finish();
  if (!result.ok) throw new Error(result.error.text);
  return result.value;
}

function beam(from: number, to: number, step = 100_000): string[] {
  const lines: string[] = [];
  for (let tick = from, i = 0; tick <= to; tick += step, i++) lines.push(`${tick},${1 - (i % 2)}`);
  return lines;
}

function fixes(from: number, to: number, step = 1_000_000): string[] {
  const lines: string[] = [];
  for (let tick = from, s = 0; tick <= to; tick += step, s++) {
    const clock = `12${String(Math.floor(s / 60)).padStart(2, '0')}${String(s % 60).padStart(2, '0')}`;
    lines.push(`${tick},${sealed(`GPRMC,${clock},A,4134.5,N,09345.03,W,5,92,180320,,,A`)}`);
  }
  return lines;
}

/** `source: edges/fixes` of each run. */
function shape(runs: readonly LoggerRun<EdgeLog>[]): string[] {
  return runs.map((run) => `${run.source}: ${run.beam.tick_us.length}/${run.fixes.tick_us.length}`);
}

describe('joinRuns', () => {
  it('makes one run of a beam file and a fix file that share ticks', () => {
    const joined = joinRuns([
      reading('beam.csv', ...beam(0, 20e6)),
      reading('fix.log', ...fixes(1e6, 19e6), '19500000,M,14.5', '19600000,H,1', '19700000,T,1,2'),
    ]);
    expect(shape(joined)).toEqual(['beam.csv + fix.log: 201/19']);
    expect(joined[0].moisture.moisture_pct).toEqual(Float64Array.of(14.5));
    expect(joined[0].header.tick_us).toEqual(Float64Array.of(19_600_000));
    expect(joined[0].tilt.roll_deg).toEqual(Float64Array.of(2));
  });

  it('does so in either order of the files', () => {
    const files = [reading('fix.log', ...fixes(1e6, 19e6)), reading('beam.csv', ...beam(0, 20e6))];
    expect(shape(joinRuns(files))).toEqual(['beam.csv + fix.log: 201/19']);
  });

  it('pairs runs after restarts in their order, although all their counters overlap', () => {
    const joined = joinRuns([
      reading('beam.csv', ...beam(5e6, 30e6), ...beam(1e6, 25e6), ...beam(2e6, 40e6)),
      reading('fix.log', ...fixes(5e6, 30e6), ...fixes(1e6, 25e6), ...fixes(2e6, 40e6)),
    ]);
    expect(shape(joined)).toEqual([
      'beam.csv + fix.log: 251/26',
      'beam.csv + fix.log: 241/25',
      'beam.csv + fix.log: 381/39',
    ]);
    expect(joined.map((run) => run.fixes.tick_us[0])).toEqual([5e6, 1e6, 2e6]);
  });

  it('skips a run of either file that has no partner', () => {
    const joined = joinRuns([
      reading('beam.csv', ...beam(50e6, 90e6), ...beam(1e6, 25e6)),
      reading('fix.log', ...fixes(1e6, 25e6)),
    ]);
    expect(shape(joined)).toEqual(['beam.csv: 401/0', 'beam.csv + fix.log: 241/25']);
  });

  it('takes the pieces of a fix file that was cut into several', () => {
    const joined = joinRuns([
      reading('beam.csv', ...beam(0, 60e6)),
      reading('fix1.log', ...fixes(1e6, 19e6), '19500000,M,14'),
      reading('fix2.log', ...fixes(20e6, 39e6), '39500000,M,15'),
      reading('fix3.log', ...fixes(40e6, 59e6)),
    ]);
    expect(shape(joined)).toEqual(['beam.csv + fix1.log + fix2.log + fix3.log: 601/59']);
    const { tick_us } = joined[0].fixes;
    expect(tick_us.every((tick, i) => i === 0 || tick > tick_us[i - 1])).toBe(true);
    expect(Array.from(joined[0].moisture.moisture_pct)).toEqual([14, 15]);
  });

  it('leaves whole runs, runs without common ticks and bare NMEA alone', () => {
    const whole = reading('c1.log', ...beam(0, 5e6), ...fixes(6e6, 8e6));
    const far = reading('far.log', ...fixes(900e6, 950e6));
    const bare = reading('bare.nmea', sealed('GPRMC,120000,A,4134.5,N,09345.03,W,5,92,180320,,,A'));
    const files = [whole, reading('beam.csv', ...beam(0, 20e6)), far, bare];
    const joined = joinRuns(files);
    expect(joined).toEqual(files.flatMap((file) => file.runs));
    expect(shape(joined)).toEqual(['c1.log: 51/3', 'beam.csv: 201/0', 'far.log: 0/51', 'bare.nmea: 0/1']);
  });

  it('is empty for no files', () => {
    expect(joinRuns([])).toEqual([]);
  });

  it('joins a fix file of one single fix', () => {
    expect(shape(joinRuns([reading('b', ...beam(0, 2e6)), reading('f', ...fixes(1e6, 1e6))]))).toEqual([
      'b + f: 21/1',
    ]);
  });
});
