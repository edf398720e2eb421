/** `settings.calibration` in the season sheet, and what it does to a whole season. */
import { describe, expect, it } from 'vitest';
import type { CalibrationSheet } from '../../core/calibration-sheet.ts';
import { runPipeline } from '../../core/pipeline.ts';
import type { Season } from '../../core/season.ts';
import { simulate } from '../synthetic/index.ts';
import { filesOf, sourcesFrom } from '../synthetic/recovery.ts';
import { scene } from '../synthetic/scene.ts';
import { errorOf, MINIMAL_SHEET, seasonOf } from './season-file-fixture.ts';

const sheetWith = (calibration: unknown) =>
  JSON.stringify({ ...JSON.parse(MINIMAL_SHEET), settings: { calibration } });

describe('the keys', () => {
  it('are read as they are written', () => {
    const calibration: CalibrationSheet = {
      model: 'gain_moisture',
      prior: [{ machine: 'c1', crop: 'corn', factor: 0.93, se_pct: 2, from: 'season 2025' }],
      settlements: [{ fields: ['Home'], settlement_kg: 91_000, moisture: 'as_harvested' }],
      agreements: [],
    };
    expect(seasonOf(sheetWith(calibration)).settings?.calibration).toEqual(calibration);
  });

  it.each([
    [{ prior: [{ factor: 93, se_pct: 2, from: 'x' }] }, 'factor', '0.1 to 10 as scale over beam'],
    [{ prior: [{ factor: 0.9, se_pct: 0, from: 'x' }] }, 'se_pct', '0.1 to 50 %'],
    [
      { prior: [{ machine: 'c9', factor: 0.9, se_pct: 2, from: 'x' }] },
      'c9',
      'which the sheet does not have',
    ],
    [{ agreements: [{ machine: 'c1', with: 'c2' }] }, 'c2', 'which the sheet does not have'],
    [{ settlements: [{ fields: [], settlement_kg: 1000 }] }, 'fields', 'at least one field'],
  ])('with something that cannot be meant are refused: %j', (calibration, key, words) => {
    const text = errorOf(sheetWith(calibration));
    expect(text).toContain(key);
    expect(text).toContain(words);
  });
});

describe('a season', () => {
  const season = simulate(
    scene('small')
      .field({
        name: 'Small',
        corners: [
          [-70, -60],
          [70, -60],
          [70, 60],
          [-70, 60],
        ],
        passes: { headland_laps: 1 },
      })
      .machine({})
      .loads({ load_t: 4 }),
  );
  const files = filesOf(season);
  const plain = seasonOf(files.texts.get('season.json') ?? '');
  const sources = sourcesFrom(files, plain);
  const run = (calibration: CalibrationSheet, tickets = plain.tickets) => {
    const sheet: Season = { ...plain, tickets, settings: { ...plain.settings, calibration } };
    const result = runPipeline(sheet, sources, {
      progress: () => {},
      shouldStop: () => false,
      generated_by: 'test',
    });
    if (!result.ok) throw new Error(result.error.text);
    return result.value;
  };
  const before = run({});

  it('is reconciled to its settlement: total as settled, both numbers kept, ledger closed, pattern unchanged', () => {
    const [field] = before.summary.fields;
    const settlement_kg = Math.round(1.02 * field.mass_std_kg);
    const after = run({ settlements: [{ fields: ['Small'], settlement_kg }] });
    const [settled] = after.summary.fields;
    expect(settled.mass_std_kg).toBeCloseTo(settlement_kg, 4);
    expect(settled.reconciled).toMatchObject({ settlement_kg, mass_std_kg: field.mass_std_kg });
    expect(settled.points).toEqual(field.points);
    expect(settled.uncertainty?.parts_pct).toMatchObject({ moisture: 0, calibration: 0.2 });
    const factor = settled.reconciled?.factor ?? Number.NaN;
    const [points] = before.points;
    after.points[0].yield_kg_m2.forEach((kg, i) => {
      if (points.yield_kg_m2[i] > 0) expect(kg / points.yield_kg_m2[i]).toBeCloseTo(factor, 9);
    });
    const [row] = after.summary.mass_ledger;
    const screened = Object.values(row.screened_kg).reduce((sum, kg) => sum + kg, 0);
    const accounted = row.mapped_kg + screened + row.outside_field_kg + row.not_cutting_kg;
    expect(Math.abs(accounted - row.beam_kg)).toBeLessThan(1e-9 * row.beam_kg);
    expect(row.beam_kg).toBeCloseTo(factor * before.summary.mass_ledger[0].beam_kg, 4);
  });

  it('without tickets takes the gain that is carried over, named as such, with its error', () => {
    const prior = [{ factor: 0.92, se_pct: 3, from: 'season 2025' }];
    const { summary } = run({ prior }, []);
    expect(summary.calibrations[0]).toMatchObject({ model: 'carried_over', coefficients: { k: 0.92 } });
    expect(summary.warnings.map(({ code }) => code)).toContain('carried_over');
    expect(summary.warnings.map(({ code }) => code)).not.toContain('uncalibrated');
    expect(summary.fields[0].uncertainty?.parts_pct.calibration).toBeCloseTo(3, 6);
    expect(summary.calibrations[0].diagnostics?.prior).toEqual(prior[0]);
  });

  it('tells what the loads allow in its summary', () => {
    const { diagnostics, loads } = before.summary.calibrations[0];
    expect(diagnostics?.models.map(({ model }) => model)).toContain('gain');
    expect(diagnostics?.covered_flow_kg_s?.[0]).toBeGreaterThan(1);
    expect(loads[0].expected_95_kg?.[0]).toBeLessThan(loads[0].scale_kg);
    expect(before.summary.machine_agreements).toEqual([]);
    expect(before.summary.load_proposals).toEqual([]);
    expect(JSON.parse(JSON.stringify(before.summary))).toEqual(before.summary);
  });
});
