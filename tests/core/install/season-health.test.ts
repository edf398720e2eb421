import { describe, expect, it } from 'vitest';
import { healthSection } from '../../../core/export/report/health-section.ts';
import { measureHealth, seasonHealth } from '../../../core/install/season-health.ts';
import { workingDays } from '../../../core/install/working-days.ts';
import type { FieldPoints, HealthDay } from '../../../core/result.ts';
import type { EmptyLevelSolution } from '../../../core/signal/empty-level.ts';
import type { MachineGrain } from '../../../core/signal/grain-of-machine.ts';
import type { MachineRecord } from '../../../core/signal/machine-record.ts';
import { Random } from '../../synthetic/random.ts';
import { makeResult, SEASON } from '../export/season-fixture.ts';

const PITCH_MM = 200;
const COUNT = 60;
const PERIOD_S = 0.1;
const FILL = 0.2;
const DAY_S = 86_400;
const PADDLES = 3000;
/** Noon of 2026-09-14 UTC. */
const EPOCH = Date.UTC(2026, 8, 14, 12) / 1000;

/** What a day is like. */
interface DaySpec {
  /** Empty level, dark share; `measured` false where the elevator never ran empty. */
  readonly empty: number;
  readonly measured: boolean;
  readonly missing: readonly number[];
  readonly noise_mm: number;
  readonly jitter: number;
}

const SOUND: DaySpec = { empty: 0.07, measured: true, missing: [], noise_mm: 1, jitter: 0.004 };

function season(days: readonly DaySpec[]): HealthDay[] {
  const random = new Random(1, 'health');
  const t: number[] = [];
  const period: number[] = [];
  const dark: number[] = [];
  const slots: number[] = [];
  days.forEach((day, d) => {
    let at = d * DAY_S;
    let waiting = 1;
    for (let k = 0; k < PADDLES; k++) {
      if (day.missing.includes(k % COUNT)) {
        waiting++;
        continue;
      }
      const step = waiting * PERIOD_S * (1 + day.jitter * random.normal());
      at += step;
      t.push(at);
      period.push(k === 0 ? Number.NaN : step);
      dark.push(day.empty + FILL + (day.noise_mm / PITCH_MM) * random.normal());
      slots.push(waiting);
      waiting = 1;
    }
  });
  const known = days.flatMap((day, d) => (day.measured ? [{ t_s: d * DAY_S + 100, empty: day.empty }] : []));
  const level: EmptyLevelSolution = {
    t_s: Float64Array.from(known, ({ t_s }) => t_s),
    dark_fraction: Float64Array.from(known, ({ empty }) => empty),
    standard_error: new Float64Array(known.length),
    method: 'measured',
    geometry: 0.07,
    signature: undefined,
  };
  const none = new Float64Array();
  const record: MachineRecord = {
    machine: 0,
    source: 'log',
    fixes: {
      t_s: none,
      latitude_deg: none,
      longitude_deg: none,
      altitude_m: none,
      speed_m_s: none,
      course_deg: none,
      quality: none,
      satellites: none,
      hdop: none,
    },
    field_hint: new Int32Array(),
    header: { t_s: none, up: new Uint8Array() },
    moisture: { t_s: none, moisture_pct: none },
    pitch: { t_s: none, pitch_rad: none },
    grain: {
      kind: 'paddles',
      single: true,
      runs: [],
      paddles: {
        t_s: Float64Array.from(t),
        period_s: Float64Array.from(period),
        dark_fraction: Float64Array.from(dark),
        slots: Float64Array.from(slots),
      },
    },
  };
  const grain: MachineGrain = {
    passage: { t_s: none, cumulative: none, basis: 'volume' },
    running: { t_s: none, cumulative_s: none },
    level,
    paddle_scatter_m3: 0,
    zero_se_m3_s: 0,
    notices: [],
  };
  const paddle = { pitch_mm: PITCH_MM, width_mm: 250, depth_mm: 150, thickness_mm: 10, count: COUNT };
  const measured = measureHealth([{ id: 'c1', paddle }], EPOCH, [record], [grain]);
  return seasonHealth(measured, [harvested(days.length)]);
}

/** A point of 10 t in the middle of each day. */
function harvested(days: number): FieldPoints {
  const [like] = makeResult().points;
  return {
    ...like,
    t_s: Float64Array.from({ length: days }, (_, d) => d * DAY_S + 150),
    machine: new Int32Array(days),
    mass_kg: new Float64Array(days).fill(10_000),
  };
}

const codes = (day: HealthDay) => day.alerts.map(({ code }) => code);

describe('health by day', () => {
  it('of a sound season has the figures that it was made of, and no alert', () => {
    const days = season([SOUND, SOUND, SOUND]);
    expect(days.map(({ day }) => day)).toEqual(['2026-09-14', '2026-09-15', '2026-09-16']);
    for (const day of days) {
      expect(day).toMatchObject({ machine: 'c1', paddles: PADDLES, mass_kg: 10_000, alerts: [] });
      expect(day.mean_fill).toBeCloseTo(FILL, 2);
      expect(day.empty_mm).toBeCloseTo(14, 6);
      expect(day.period_ms).toBeCloseTo(100, 0);
      expect(day.noise_mm).toBeGreaterThan(0.8);
      expect(day.noise_mm).toBeLessThan(1.2);
    }
  });

  it('tells of dust by what it does to the flow: ΔD0 over the mean fill', () => {
    const [first, second] = season([SOUND, { ...SOUND, empty: 0.076 }]);
    expect(first.alerts).toEqual([]);
    expect(codes(second)).toEqual(['empty_level_drift']);
    // 0.006 over 0.2 is 3 %, of 10 t 300 kg
    expect(second.alerts[0].effect_pct).toBeCloseTo(3, 1);
    expect(second.alerts[0].effect_kg).toBeCloseTo(300, -1);
    expect(second.alerts[0]).toMatchObject({ verdict: 'look' });
    expect(second.alerts[0].text).toContain('+1.2 mm since 2026-09-14 (dust');
  });

  it('keeps quiet about what changes nothing', () => {
    expect(season([SOUND, { ...SOUND, empty: 0.0715 }])[1].alerts).toEqual([]);
  });

  it('tells of a day without a zero between two that differ', () => {
    const [, second] = season([SOUND, { ...SOUND, empty: 0.08, measured: false }, { ...SOUND, empty: 0.09 }]);
    expect(codes(second)).toEqual(['empty_level_not_measured']);
    // half of 0.02 over 0.2
    expect(second.alerts[0].effect_pct).toBeCloseTo(5, 0);
  });

  it('names paddles that go missing, and the share by which yields are too high', () => {
    const [, second] = season([SOUND, { ...SOUND, missing: [7, 31] }]);
    expect(second.missing_places).toHaveLength(2);
    expect(codes(second)).toEqual(['missing_paddles']);
    expect(second.alerts[0].effect_pct).toBeCloseTo((100 * 2) / COUNT, 9);
    expect(second.alerts[0].text).toContain('2 of 60 paddles are missing, new on this day');
  });

  it('tells of noise and slack that have grown', () => {
    const [, second] = season([SOUND, { ...SOUND, noise_mm: 4, jitter: 0.03 }]);
    expect(codes(second)).toEqual(['noise_grown', 'chain_slack']);
  });
});

describe('working days', () => {
  it('are parted by nights, not by meals, and named by the sun', () => {
    const stretch = (from_s: number) => Array.from({ length: 300 }, (_, k) => from_s + k);
    const t_s = Float64Array.from([...stretch(0), ...stretch(3 * 3600), ...stretch(14 * 3600)]);
    const days = workingDays(t_s, Float64Array.of(-97.9), Date.UTC(2026, 8, 15, 2) / 1000);
    expect(days.map(({ day, last }) => [day, last])).toEqual([
      ['2026-09-14', 600],
      ['2026-09-15', 900],
    ]);
  });
});

describe('the report', () => {
  it('shows days with their alerts, and nothing where there are none', () => {
    const result = makeResult();
    const of = (health: readonly HealthDay[]) =>
      healthSection({
        season: SEASON,
        result: { ...result, summary: { ...result.summary, health } },
        notices: [],
        system: 'metric',
      }).text;
    expect(of([])).toBe('');
    const text = of(season([SOUND, { ...SOUND, missing: [7] }]));
    expect(text).toContain('missing_paddles');
    expect(text.match(/<tr>/g)).toHaveLength(3);
  });
});
