/**
 * A real field, as logged: 4949 records at 3 s of a corn harvest in Minnesota (University of Minnesota Precision Agriculture
 * Center, CC BY-SA 3.0, via R package agridat). Expected totals were computed from the file with numpy (reference values
 * g_gartner.json); the area of the union of its swaths with R/sf (g_gartner_area.json).
 */
import { describe, expect, it } from 'vitest';
import { runPipeline } from '../../core/pipeline.ts';
import type { Season, SettingsSheet } from '../../core/season.ts';
import { acresFromM2, lbFromKg } from '../../core/units.ts';
import { lagText, screenedText } from '../reference/field-log-report.ts';
import { referenceText } from '../reference/reference-data.ts';

const text = referenceText('data/gartner_corn_raw.csv');
const PATH = 'logs/corn.csv';

function season(settings: SettingsSheet): Season {
  return {
    format: 'sheaflight-season/1',
    name: 'Minnesota corn',
    units: 'us',
    machines: [{ id: 'c1', name: 'combine 1', header: { width_m: 9.144 } }],
    fields: [{ name: 'F16', crop: 'corn', standard_moisture_pct: 15.5 }],
    logs: [{ machine: 'c1', files: [PATH], mapping: 'flow' }],
    mappings: [
      {
        id: 'flow',
        columns: [
          { quantity: 'longitude', column: 'Longitude' },
          { quantity: 'latitude', column: 'Latitude' },
          { quantity: 'time', column: 'Time', unit: 'unix_s' },
          { quantity: 'interval', column: 'Cycles', unit: 's' },
          { quantity: 'mass_flow', column: 'Flow', unit: 'lb/s' },
          { quantity: 'distance', column: 'Distance', unit: 'in' },
          { quantity: 'swath', column: 'Swath', unit: 'in' },
          { quantity: 'moisture', column: 'Moisture', unit: 'pct' },
        ],
      },
    ],
    settings,
  };
}

function build(csv: string, settings: SettingsSheet) {
  const result = runPipeline(
    season(settings),
    {
      logs: new Map(),
      chatter: {},
      texts: new Map([[PATH, csv]]),
      hashes: new Map([[PATH, '0'.repeat(64)]]),
    },
    { progress: () => {}, shouldStop: () => false, generated_by: 'test' },
  );
  if (!result.ok) throw new Error(result.error.text);
  return result.value;
}

describe.skipIf(text === undefined)('a corn field in Minnesota', () => {
  it('as logged gives 67.450 ac, 513,551 lb wet and 133.834 bu/ac', () => {
    const { summary, points } = build(text ?? '', { cut_width: { from: 'log' } });
    const [field] = summary.fields;
    expect(points[0].t_s).toHaveLength(4949);
    expect(Math.abs(acresFromM2(field.area_ha * 10_000) / 67.45036539638812 - 1)).toBeLessThan(1e-4);
    expect(Math.abs(lbFromKg(field.mass_wet_kg) / 513_551 - 1)).toBeLessThan(1e-4);
    expect(Math.abs((field.mean_yield_bu_ac ?? 0) / 133.8340320606381 - 1)).toBeLessThan(1e-4);
  });

  it('after overlap correction covers the union of its swaths, 26.623 ha', () => {
    const { summary } = build(text ?? '', {});
    console.info(`Minnesota corn: ${summary.fields[0].area_ha.toFixed(3)} ha after overlap correction`);
    expect(Math.abs(summary.fields[0].area_ha / 26.623 - 1)).toBeLessThan(0.003);
    // the union of the rectangles distance × swath, by R package sf in the plane of UTM zone 15, whose areas are 0.99935
    // of the ellipsoid's
    expect(Math.abs(summary.fields[0].area_ha / (26.595291 / 0.99935) - 1)).toBeLessThan(5e-4);
    expect(summary.mass_ledger[0].beam_kg).toBeCloseTo(232_942.8152, 3);
  });

  it('is recognised as shifted already, by about 4 s too far, and left as logged', () => {
    const { summary } = build(text ?? '', {});
    const [lag] = summary.lags;
    console.info(
      `Minnesota corn: best lag ${lag.neighbour_transport_s?.toFixed(2)} s (reference curve: −4.35 s)`,
    );
    expect(lag.method).toBe('as_logged');
    expect(lag.applied_s).toBe(0);
    expect(Math.abs((lag.neighbour_transport_s ?? 0) + 4.35)).toBeLessThan(1);
    expect(summary.warnings.map(({ code }) => code)).toContain('log_over_shifted');
  });

  it('has the lag curve of the reference at multiples of its record interval', () => {
    const { summary, points } = build(text ?? '', {});
    const [lag] = summary.lags;
    console.info(`Minnesota corn: ${lagText(lag)}`);
    console.info(`Minnesota corn: ${screenedText(points[0])}`);
    const curve = lag.curve.neighbour_agreement;
    const reference = referenceText('values/g_gartner.json');
    if (curve === null || reference === undefined) throw new Error('no curve to compare');
    // 1 − r of pairs of opposite passes, whole records, by numpy (g_gartner.json, whole_records_m15_30); ours is the mean
    // squared difference over twice the variance, the same but for the difference of the means
    const { whole_records_m15_30 } = JSON.parse(reference).lag as {
      whole_records_m15_30: { curve: { shift_s: number; corr: number }[] };
    };
    const both = whole_records_m15_30.curve.map(({ shift_s, corr }) => ({
      shift_s,
      theirs: 1 - corr,
      ours: curve.cost[curve.lag_s.indexOf(shift_s)],
    }));
    console.info(
      `Minnesota corn, lag curve (ours, reference): ${both.map(({ shift_s, ours, theirs }) => `${shift_s} s ${ours.toFixed(2)} ${theirs.toFixed(2)}`).join('; ')}`,
    );
    const lowest = (of: (at: (typeof both)[number]) => number) =>
      both.reduce((best, at) => (of(at) < of(best) ? at : best)).shift_s;
    expect(lowest(({ theirs }) => theirs)).toBe(-3);
    expect(lowest(({ ours }) => ours)).toBe(-3);
    for (const { ours, theirs } of both) expect(Math.abs(ours - theirs)).toBeLessThan(0.15);
  });

  it('survives its two backward time steps and counts them', () => {
    const { summary } = build(text ?? '', {});
    const warning = summary.warnings.find(({ code }) => code === 'time_ran_backwards');
    expect(warning?.text).toContain('2 times');
    expect(summary.inputs[0].damage).toMatchObject({ out_of_order: 2 });
  });
});
