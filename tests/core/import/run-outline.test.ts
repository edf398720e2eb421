/** Logs in outline are judged exactly as logs that are read whole. */
import { describe, expect, it } from 'vitest';
import { inspectFile } from '../../../core/import/inspect-file.ts';
import { RunOutliner } from '../../../core/import/run-outline.ts';
import { createTickLogReader } from '../../../core/read/tick-log.ts';
import { everythingWrong, simulate } from '../../synthetic/index.ts';
import { bytesOf, readTickLog, sealed } from '../read/log-text.ts';

const decode = (bytes: Uint8Array) => new TextDecoder().decode(bytes);

function outlined(bytes: Uint8Array, piece = bytes.length) {
  const reader = createTickLogReader('logs/c1.log', (damage) => new RunOutliner(damage));
  for (let at = 0; at < bytes.length; at += piece) reader.push(bytes.subarray(at, at + piece));
  const result = reader.finish();
  if (!result.ok) throw new Error(result.error.text);
  return result.value;
}

describe('a log in outline', () => {
  const { files, truth } = simulate(everythingWrong(3));
  const bytes = files.get('logs/c1-windmill.log') as Uint8Array;
  const { runs, damage, lines } = outlined(bytes);

  it('counts the same lines, runs and damage as the full reader, in pieces of any size', () => {
    const whole = readTickLog(bytes);
    expect({ lines, damage }).toEqual({ lines: whole.lines, damage: whole.damage });
    expect(runs.map(({ fixes, moisture }) => [fixes, moisture])).toEqual(
      whole.runs.map(({ fixes, moisture }) => [fixes.utc_s.length, moisture.tick_us.length]),
    );
    const { runs: inPieces, ...rest } = outlined(bytes, 1009);
    expect(rest).toEqual({ lines, damage });
    expect(inPieces).toEqual(runs);
  });

  it('knows when it was recorded, through restarts, a wrapped counter and midnight', () => {
    const [{ machines }] = truth.fields;
    const [{ log_start_utc_s, log_end_utc_s }] = machines;
    expect(runs.length).toBe(3);
    expect(runs[0].first_utc_s).toBeCloseTo(log_start_utc_s, 0);
    expect(runs[2].last_utc_s).toBeCloseTo(log_end_utc_s, -1);
    for (const [k, run] of runs.slice(1).entries())
      expect(run.first_utc_s).toBeGreaterThan(runs[k].last_utc_s);
  });

  it('tells work from turns and rests', () => {
    const [{ samples }] = runs;
    const share = samples.working.reduce((sum, working) => sum + working, 0) / samples.working.length;
    expect(share).toBeGreaterThan(0.5);
    expect(share).toBeLessThan(0.95);
    for (let i = 1; i < samples.utc_s.length; i++)
      expect(samples.utc_s[i]).toBeGreaterThan(samples.utc_s[i - 1]);
  });
});

describe('outlines of little', () => {
  it('bare edges have a counter and no time', () => {
    const [run] = outlined(bytesOf('t_us,beam\n1000,1\n2000,0\n3000,1\n')).runs;
    expect(run).toMatchObject({ edges: 3, fixes: 0 });
    expect(run.counter).toEqual({
      first_us: 1000,
      last_us: 3000,
      first_utc_s: Number.NaN,
      last_utc_s: Number.NaN,
    });
    expect(run.first_utc_s).toBeNaN();
  });

  it('bare sentences have a time and no counter', () => {
    // 4134.5 N 09345.03 W: invented
    const rmc = (second: string) =>
      `${sealed(`GPRMC,1328${second}.00,A,4134.5,N,09345.03,W,5,92.3,180926,,,A`)}\n`;
    const inspection = inspectFile('a.nmea', bytesOf(rmc('19') + rmc('20') + rmc('21')), { decode });
    expect(inspection).toMatchObject({ kind: 'nmea', lines: 3, days: ['2026-09-18'] });
    const { content } = inspection;
    if (content.kind !== 'runs') throw new Error(content.kind);
    expect(content.runs[0].counter).toBeUndefined();
    expect(content.runs[0].fixes).toBe(3);
    expect(new Date(inspection.first_utc_s * 1000).toISOString()).toBe('2026-09-18T13:28:19.000Z');
  });
});
