import { describe, expect, it } from 'vitest';
import type { FlowLogColumns, TallyColumns } from '../../../core/read/logger-run.ts';
import type { MachineLogs } from '../../../core/read/season-inputs.ts';
import type { Season } from '../../../core/season.ts';
import { machinesOfSeason } from '../../../core/signal/season-machines.ts';
import { fixColumns, loggerRun, range } from './made-fixes.ts';

/** 2026-09-14T00:00:00Z. */
const MIDNIGHT_S = 1_789_344_000;
const NAN = Number.NaN;
const paddle = { pitch_mm: 200, width_mm: 260, depth_mm: 150, thickness_mm: 10 };
const season = {
  machines: [
    { id: 'c1', name: 'combine 1', paddle, header: { width_m: 9 } },
    { id: 'c2', name: 'combine 2', header: { width_m: 9 } },
  ],
  fields: [{ name: 'Home', crop: 'corn' }],
} as unknown as Season;

const gps = (from_s: number) =>
  loggerRun('gps.nmea', {
    fixes: fixColumns(
      range(20).map((i) => 1e6 * i),
      range(20).map((i) => MIDNIGHT_S + from_s + i),
      { latitude_deg: range(20).map(() => 42), longitude_deg: range(20).map(() => -93) },
    ),
  });
const hinted = (run: ReturnType<typeof loggerRun>) => ({ run, field: 0, tick_zero_utc_s: NAN });
const of = (...x: number[]) => Float64Array.from(x);
const tally: TallyColumns = {
  source: 'tally.csv',
  utc_s: of(NAN, NAN),
  tick_us: of(3e6, 4e6),
  paddles: of(10, 10),
  dark_s: of(0.3, 0.3),
  moisture_pct: of(NAN, NAN),
  up: of(NAN, NAN),
  latitude_deg: of(NAN, NAN),
  longitude_deg: of(NAN, NAN),
  speed_m_s: of(NAN, NAN),
  course_deg: of(NAN, NAN),
};
const flow = {
  ...Object.fromEntries(
    ['latitude_deg', 'longitude_deg', 'altitude_m', 'volume_flow_m3_s', 'distance_m', 'speed_m_s', 'swath_m']
      .concat(['heading_deg', 'moisture_pct', 'up', 'quality'])
      .map((name) => [name, of(1)]),
  ),
  source: 'flow.csv',
  utc_s: of(MIDNIGHT_S + 100_000),
  interval_s: of(1),
  mass_flow_kg_s: of(4),
} as unknown as FlowLogColumns;
const reading = <Rows>(rows: Rows) => ({ reading: { rows, lines: 1, damage: [] }, field: 0 });

function machinesOf(...logs: Partial<MachineLogs>[]) {
  return machinesOfSeason(
    season,
    logs.map((log) => ({ machine: 0, runs: [], tallies: [], flows: [], ...log })),
  );
}

describe('machines of a season', () => {
  it('count from the midnight before the first known moment', () => {
    const found = machinesOf(
      { runs: [hinted(gps(50_000))], tallies: [reading(tally)] },
      { machine: 1, flows: [reading(flow)] },
    );
    if (!found.ok) throw new Error(found.error.text);
    expect(found.value.epoch_utc_s).toBe(MIDNIGHT_S);
    const [tallies, flows] = found.value.records;
    // the tally's counter runs in the run of fixes beside it
    expect([...tallies.moisture.t_s]).toEqual([50_003, 50_004]);
    expect(tallies.fixes.latitude_deg[0]).toBe(42);
    expect([...tallies.field_hint]).toEqual(new Array(20).fill(0));
    expect(flows.machine).toBe(1);
    expect([...flows.fixes.t_s]).toEqual([100_000]);
  });

  it('take bare fixes beside a flow log for no fault', () => {
    const found = machinesOf({ runs: [hinted(gps(0))], flows: [reading(flow)] });
    expect(found.ok && found.value.records.length).toBe(1);
    expect(found.notices).toEqual([]);
  });

  it('count grain once that a beam log and tallies of the same time tell of, and name both and the time', () => {
    const tick_us = range(400).flatMap((i) => [1e5 * i + 70_000, 1e5 * (i + 1)]);
    const edges = {
      tick_us: Float64Array.from(tick_us),
      dark: Uint8Array.from(tick_us, (_, i) => (i + 1) % 2),
    };
    const beam = { ...gps(0), ...loggerRun('beam.log', { edges }), fixes: gps(0).fixes };
    // rows of 10 s: the first three end while the beam log runs, the last two after it
    const ends_s = [10, 20, 30, 1010, 1020];
    const column = (x: number) => of(...ends_s.map(() => x));
    const rows: TallyColumns = {
      ...tally,
      utc_s: of(...ends_s.map((s) => MIDNIGHT_S + s)),
      tick_us: column(NAN),
      paddles: column(100),
      dark_s: column(3),
      moisture_pct: column(NAN),
      up: column(NAN),
      latitude_deg: column(42),
      longitude_deg: column(-93),
      speed_m_s: column(2),
      course_deg: column(0),
    };
    const found = machinesOf({ runs: [hinted(beam)], tallies: [reading(rows)] });
    if (!found.ok) throw new Error(found.error.text);
    expect(found.value.records.map(({ source }) => source)).toEqual(['beam.log', 'tally.csv']);
    expect([...found.value.records[1].moisture.t_s]).toEqual([1010, 1020]);
    const told = found.notices.find(({ code }) => code === 'grain_told_twice');
    expect(told?.text).toMatch(
      /^tally\.csv: 3 of 5 rows tell of the same grain as beam\.log, from 2026-09-14T00:00:10Z to 2026-09-14T00:00:30Z/,
    );
    // a log all of whose rows are told already makes no record of its own
    const whole = machinesOf({
      runs: [hinted(beam)],
      tallies: [reading({ ...rows, utc_s: rows.utc_s.map((s) => Math.min(s, MIDNIGHT_S + 35)) })],
    });
    expect(whole.ok && whole.value.records.length).toBe(1);
    expect(whole.notices.map(({ code }) => code)).toContain('grain_told_twice');
  });

  it('go on without the one that cannot be used, and say why', () => {
    const found = machinesOf({ flows: [reading(flow)] }, { machine: 1, tallies: [reading(tally)] });
    expect(found.ok && found.value.records.length).toBe(1);
    expect(found.notices).toEqual([expect.objectContaining({ code: 'no_paddle_sheet', severity: 'mend' })]);
  });

  it('fail with the first reason when none can be used', () => {
    const found = machinesOf({ tallies: [reading(tally)] });
    expect(found.ok ? '' : found.error.code).toBe('no_time');
  });
});
