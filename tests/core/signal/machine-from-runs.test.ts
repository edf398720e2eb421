import { describe, expect, it } from 'vitest';
import type { BeamEdges } from '../../../core/read/logger-run.ts';
import { machineFromRuns } from '../../../core/signal/machine-from-runs.ts';
import type { BeamRun, HintedRun } from '../../../core/signal/placed-run.ts';
import { fixColumns, loggerRun, range } from './made-fixes.ts';

const EPOCH_S = 1_789_344_000;
const SHEET = {
  id: 'c1',
  name: 'combine 1',
  paddle: { pitch_mm: 200, width_mm: 260, depth_mm: 150, thickness_mm: 10 },
  header: { width_m: 9 },
};
const CONTEXT = { machine: 0, sheet: SHEET, epoch_utc_s: EPOCH_S };

/** Paddles of 30 ms dark every 100 ms, `count` of them from `from_s` of the counter. */
function edges(from_s: number, count: number): BeamEdges {
  const tick_us = range(count).flatMap((i) => [
    1e6 * from_s + 1e5 * i + 70_000,
    1e6 * from_s + 1e5 * (i + 1),
  ]);
  return { tick_us: Float64Array.from(tick_us), dark: Uint8Array.from(tick_us, (_, i) => (i + 1) % 2) };
}

/** A fix a second for `count` seconds; counter zero is `zero_s` of the season. */
function fixes(from_s: number, count: number, zero_s: number) {
  return fixColumns(
    range(count).map((i) => 1e6 * (from_s + i)),
    range(count).map((i) => EPOCH_S + zero_s + from_s + i),
    { latitude_deg: range(count).map(() => 42), speed_m_s: range(count).map(() => 2) },
  );
}

const hinted = (run: BeamRun, field = -1, tick_zero_utc_s = Number.NaN): HintedRun => ({
  run,
  field,
  tick_zero_utc_s,
});
const whole = (
  source: string,
  from_s: number,
  count: number,
  zero_s: number,
  more: Parameters<typeof loggerRun>[1] = {},
) => loggerRun(source, { edges: edges(from_s, 10 * count), fixes: fixes(from_s, count, zero_s), ...more });

function recordOf(runs: readonly HintedRun[]) {
  const result = machineFromRuns(runs, CONTEXT);
  if (!result.ok) throw new Error(result.error.text);
  const { grain } = result.value;
  if (grain.kind !== 'paddles') throw new Error('no paddles');
  return { record: result.value, paddles: grain.paddles, codes: result.notices.map(({ code }) => code) };
}
const errorOf = (runs: readonly HintedRun[], sheet: object = SHEET) => {
  const result = machineFromRuns(runs, { ...CONTEXT, sheet: sheet as typeof SHEET });
  return result.ok ? undefined : result.error;
};
const finite = (column: Float64Array) => [...column].filter((x) => !Number.isNaN(x));

describe('machine from runs', () => {
  it('lays edges, header, moisture and tilt of a run on the season', () => {
    const { record, paddles } = recordOf([
      hinted(
        whole('a.log', 0, 20, 1000, {
          header: { tick_us: Float64Array.of(5e6), up: Uint8Array.of(1) },
          moisture: { tick_us: Float64Array.of(6e6), moisture_pct: Float64Array.of(17.5) },
          tilt: {
            tick_us: Float64Array.of(7e6),
            pitch_deg: Float64Array.of(180),
            roll_deg: Float64Array.of(0),
          },
        }),
        3,
      ),
    ]);
    expect(paddles.t_s).toHaveLength(200);
    expect(paddles.t_s[0]).toBeCloseTo(1000.1, 6);
    expect(paddles.dark_fraction[7]).toBeCloseTo(0.3, 9);
    expect([...record.header.t_s]).toEqual([1005]);
    expect([...record.moisture.t_s]).toEqual([1006]);
    expect(record.pitch.pitch_rad[0]).toBeCloseTo(Math.PI, 12);
    expect(new Set(record.field_hint)).toEqual(new Set([3]));
    expect(record.source).toBe('a.log');
  });

  it('puts runs in the order of time, whatever that of the files, and bridges a restart', () => {
    const runs = [hinted(whole('b.log', 0, 20, 1023)), hinted(whole('a.log', 500, 20, 500))];
    const { record, paddles, codes } = recordOf(runs);
    expect(record.source).toBe('combine 1 (2 logs)');
    expect(paddles.t_s[0]).toBeCloseTo(1000.1, 6);
    expect(paddles.t_s[399]).toBeCloseTo(1043, 6);
    expect(paddles.period_s[200]).toBeCloseTo(3.1, 6);
    expect(paddles.slots[200]).toBe(31);
    expect(codes).toContain('restart_bridged');
  });

  it('leaves paddles out at times that have had theirs, and says so', () => {
    const { paddles, codes } = recordOf([
      hinted(whole('a.log', 0, 20, 1000)),
      hinted(whole('b.log', 0, 20, 1010.05)),
    ]);
    expect(paddles.t_s.every((t, i) => i === 0 || t > paddles.t_s[i - 1])).toBe(true);
    // the first log ends at 1020 s, the second one goes on from 1020.05 to 1030.05 s
    expect(paddles.t_s).toHaveLength(301);
    expect(codes).toContain('paddles_out_of_time');
  });

  it('keeps every state of the header when the clock falls back', () => {
    const header = (up: number) => ({ tick_us: Float64Array.of(19e6), up: Uint8Array.of(up) });
    const { record } = recordOf([
      hinted(whole('a.log', 0, 20, 1000, { header: header(1) })),
      hinted(whole('b.log', 0, 20, 990, { header: header(0), edges: edges(15, 100) })),
    ]);
    expect([...record.header.up]).toEqual([1, 0]);
    expect(record.header.t_s[1]).toBe(record.header.t_s[0]);
  });

  it('lays a beam file without fixes on an entered zero, and switches and sensors alone, too', () => {
    const beam = loggerRun('beam.csv', { edges: edges(0, 100) });
    const gps = loggerRun('gps.nmea', {
      fixes: { ...fixes(0, 20, 1000), tick_us: new Float64Array(20).fill(Number.NaN) },
    });
    const switches = loggerRun('switch.log', {
      header: { tick_us: Float64Array.of(2e6), up: Uint8Array.of(1) },
    });
    const { record, paddles } = recordOf([
      hinted(gps),
      hinted(beam, -1, EPOCH_S + 1000),
      hinted(switches, -1, EPOCH_S + 1000),
    ]);
    expect(paddles.t_s[99]).toBeCloseTo(1010, 6);
    expect([...record.header.t_s]).toEqual([1002]);
  });

  it('names what is lacking', () => {
    expect(errorOf([hinted(whole('a.log', 0, 20, 0))], { ...SHEET, paddle: undefined })?.code).toBe(
      'no_paddle_sheet',
    );
    expect(errorOf([hinted(loggerRun('beam.csv', { edges: edges(0, 100) }))])?.code).toBe('no_fixes');
    const gps = hinted(loggerRun('gps.nmea', { fixes: fixes(0, 20, 0) }));
    expect(errorOf([gps])).toMatchObject({ code: 'no_edges', text: expect.stringContaining('no beam edge') });
    const stuck = loggerRun('a.log', { edges: edges(0, 1), fixes: fixes(0, 20, 0) });
    expect(errorOf([hinted(stuck)])).toMatchObject({
      code: 'no_edges',
      text: expect.stringContaining('always dark'),
    });
    const bare = loggerRun('gps.nmea', {
      fixes: { ...fixes(0, 20, 0), tick_us: new Float64Array(20).fill(Number.NaN) },
    });
    const adrift = errorOf([hinted(bare), hinted(loggerRun('beam.csv', { edges: edges(0, 100) }))]);
    expect(adrift?.code).toBe('beam_without_clock');
    expect(adrift?.text).toContain('tick_zero_utc');
    expect(errorOf([])?.code).toBe('no_fixes');
  });

  it('has a period for every paddle but the first of a run that follows a long silence', () => {
    const { paddles, codes } = recordOf([
      hinted(whole('a.log', 0, 20, 0)),
      hinted(whole('b.log', 0, 20, 100)),
    ]);
    expect(finite(paddles.period_s)).toHaveLength(398);
    expect(codes).toContain('log_gap');
  });
});
