import { describe, expect, it } from 'vitest';
import type { Result } from '../../../core/errors.ts';
import type { TallyReading } from '../../../core/read/logger-run.ts';
import { readTallyLog } from '../../../core/read/tally-log.ts';
import { damageCounts } from './log-text.ts';

function read(text: string): TallyReading {
  const result = readTallyLog(text, 'logs/tally.csv');
  if (!result.ok) throw new Error(result.error.text);
  return result.value;
}

describe('readTallyLog', () => {
  it('reads rows with ISO times and every optional column', () => {
    const { rows, lines, damage } = read(
      'time,paddles,dark_ms,moisture_pct,header,lat,lon,speed_m_s,course_deg\n' +
        '2026-09-14T13:05:00Z,10,420,14.5,1,42.0,-93.5,1.8,92\n' +
        '2026-09-14T13:05:01Z,11,455.5,,0,,,,\n',
    );
    expect(lines).toBe(3);
    expect(damage).toEqual([]);
    const start_s = Date.UTC(2026, 8, 14, 13, 5, 0) / 1000;
    expect(Array.from(rows.utc_s)).toEqual([start_s, start_s + 1]);
    expect(Array.from(rows.tick_us)).toEqual([Number.NaN, Number.NaN]);
    expect(Array.from(rows.paddles)).toEqual([10, 11]);
    expect(Array.from(rows.dark_s)).toEqual([0.42, 0.4555]);
    expect(Array.from(rows.moisture_pct)).toEqual([14.5, Number.NaN]);
    // 0 is up, 1 is down, as in the tick log
    expect(Array.from(rows.up)).toEqual([0, 1]);
    expect(rows.latitude_deg[0]).toBe(42);
    expect(rows.longitude_deg[0]).toBe(-93.5);
    expect(rows.speed_m_s[0]).toBe(1.8);
    expect(rows.course_deg[1]).toBeNaN();
  });

  it('reads counters, unwrapped, with the three needed columns alone, in any order and spelling', () => {
    const { rows } = read('DARK_MS;Paddles;Time\n420,5;10;4294000000\n421;10;4294900000\n422;10;32704\n');
    expect(Array.from(rows.tick_us)).toEqual([4_294_000_000, 4_294_900_000, 2 ** 32 + 32_704]);
    expect(rows.dark_s[0]).toBe(0.4205);
    expect(rows.utc_s[0]).toBeNaN();
    expect(rows.up[0]).toBeNaN();
  });

  it('counts and keeps backward steps, leaves out repeated and unreadable rows', () => {
    const { rows, damage } = read(
      'time,paddles,dark_ms,moisture_pct\n1000,10,420,14\n2000,10,420,wet\n2000,10,420,wet\n1500,9,400,14\nnoon,9,400,14\n3000,,400,14\n4000,9,-1,14\n5000,9,1,14\n',
    );
    expect(Array.from(rows.tick_us)).toEqual([1000, 2000, 1500, 5000]);
    expect(damageCounts({ damage })).toEqual({
      unreadable_line: 3,
      out_of_order: 1,
      repeated_line: 1,
      bad_number: 1,
    });
  });

  it('says once that times without an offset were read as UTC', () => {
    const result = readTallyLog(
      'time,paddles,dark_ms\n2026-09-14T13:05:00,1,2\n2026-09-14T13:05:01,1,3\n',
      't.csv',
    );
    expect(result.notices).toEqual([
      expect.objectContaining({ code: 'time_without_zone', line: 2, count: 2, severity: 'look' }),
    ]);
  });

  it('names the columns it needs and those it found', () => {
    const result: Result<TallyReading> = readTallyLog('time,count\n1,2\n', 'logs/tally.csv');
    expect(result.ok ? '' : result.error.text).toBe(
      'logs/tally.csv is no tally log: it needs the columns time, paddles and dark_ms, and has "time", "count"; rename its columns, or read it through a column mapping.',
    );
  });

  it('fails where no row can be read, and where there is nothing', () => {
    const noRow = readTallyLog('time,paddles,dark_ms\nx,y,z\n', 't.csv');
    expect(noRow.ok ? '' : noRow.error.code).toBe('no_readable_row');
    expect(noRow.notices).toHaveLength(1);
    const nothing = readTallyLog('', 't.csv');
    expect(nothing.ok ? '' : nothing.error.code).toBe('empty_file');
  });
});
