/** Calibrations by variety or period: what the sheet may say, and what it does to a season of two fields. */
import { describe, expect, it } from 'vitest';
import type { GroupsSheet } from '../../core/calibration-sheet.ts';
import { setCalibration } from '../../core/edits/setting-edits.ts';
import { runPipeline } from '../../core/pipeline.ts';
import type { Season } from '../../core/season.ts';
import { simulate } from '../synthetic/index.ts';
import { filesOf, sourcesFrom } from '../synthetic/recovery.ts';
import { scene } from '../synthetic/scene.ts';
import { errorOf, MINIMAL_SHEET, seasonOf } from './season-file-fixture.ts';

const FIRST_DAY = '2026-09-21T13:00:00Z';
const SECOND_DAY = '2026-09-24T13:00:00Z';
const corners = [
  [-70, -60],
  [70, -60],
  [70, 60],
  [-70, 60],
] as const;

const files = filesOf(
  simulate(
    scene('two varieties')
      .field({ name: 'Early', corners, start_utc: FIRST_DAY, passes: { headland_laps: 1 } })
      .field({ name: 'Late', lon0: -92.9, corners, start_utc: SECOND_DAY, passes: { headland_laps: 1 } })
      .machine({})
      .loads({ load_t: 4 }),
  ),
);
const plain = seasonOf(files.texts.get('season.json') ?? '');
const sources = sourcesFrom(files, plain);

function run(groups: GroupsSheet | undefined, varieties: readonly string[] = []) {
  const fields = plain.fields.map((field, f) => ({
    ...field,
    ...(varieties[f] !== undefined && { variety: varieties[f] }),
  }));
  const sheet: Season = {
    ...plain,
    fields,
    settings: { ...plain.settings, calibration: { model: 'gain', ...(groups && { groups }) } },
  };
  const result = runPipeline(sheet, sources, {
    progress: () => {},
    shouldStop: () => false,
    generated_by: 'test',
  });
  if (!result.ok) throw new Error(result.error.text);
  return result.value;
}

describe('calibrations by variety or period', () => {
  const [together] = run(undefined, ['Alba', 'Berta']).summary.calibrations;

  it('use each variety’s own loads, and its points the gain of these', () => {
    const { summary, points } = run({ by: 'variety' }, ['Alba', 'Berta']);
    expect(summary.calibrations.map(({ group }) => group)).toEqual(['Alba', 'Berta']);
    expect(together.group).toBeUndefined();
    const tickets = (rows: typeof summary.calibrations) =>
      rows.flatMap(({ loads }) => loads.map((l) => l.ticket));
    expect(tickets(summary.calibrations)).toEqual(tickets([together]));
    const [early, late] = summary.calibrations.map(({ coefficients }) => coefficients.k);
    expect(early).not.toBe(late);
    const before = run(undefined);
    const ratios = [0, 1].map((f) => {
      const ratio = points[f].mass_kg.map((kg, i) => kg / before.points[f].mass_kg[i]);
      const known = ratio.filter((each) => each > 0);
      expect(Math.max(...known) - Math.min(...known)).toBeLessThan(1e-9);
      return known[0];
    });
    // the fit to both lies between those to each
    expect((ratios[0] - 1) * (ratios[1] - 1)).toBeLessThan(0);
    for (const { diagnostics } of summary.calibrations)
      expect(diagnostics?.covered_flow_kg_s?.[0]).toBeGreaterThan(1);
    expect(summary.warnings.map(({ code }) => code)).not.toContain('group_few_loads');
  });

  it('use each period’s', () => {
    const split = '2026-09-23T00:00:00Z';
    const { calibrations } = run({ by: 'period', splits_utc: [split] }).summary;
    expect(calibrations.map(({ group }) => group)).toEqual([`to ${split}`, `from ${split}`]);
    expect(calibrations[0].coefficients.k).toBe(
      run({ by: 'variety' }, ['Alba', 'Berta']).summary.calibrations[0].coefficients.k,
    );
  });

  it('fall back on all loads of machine and crop where a group has too few, and say so', () => {
    const late = '2026-12-01T00:00:00Z';
    const { summary } = run({ by: 'period', splits_utc: ['2026-09-23T00:00:00Z', late] });
    expect(summary.calibrations).toHaveLength(2);
    const missing = run({ by: 'variety' }, ['Alba']).summary;
    expect(missing.calibrations.map(({ group }) => group)).toEqual(['Alba', undefined]);
    expect(missing.calibrations[1].coefficients).toEqual(together.coefficients);
  });
});

describe('a sheet', () => {
  const sheetWith = (groups: unknown) =>
    JSON.stringify({ ...JSON.parse(MINIMAL_SHEET), settings: { calibration: { groups } } });

  it('names variety or period, and a period where it ends', () => {
    const groups = { by: 'period', splits_utc: ['2026-09-23T00:00:00Z'] };
    expect(seasonOf(sheetWith(groups)).settings?.calibration?.groups).toEqual(groups);
    expect(errorOf(sheetWith({ by: 'period' }))).toContain('splits_utc');
    expect(errorOf(sheetWith({ by: 'moon' }))).toContain('by');
  });

  it('is edited as one', () => {
    const season = seasonOf(MINIMAL_SHEET);
    const edited = setCalibration(season, { groups: { by: 'variety' } });
    if (!edited.ok) throw new Error(edited.error.text);
    expect(edited.value.name).toBe('Calibration by variety or period');
    expect(edited.value.season.settings?.calibration).toEqual({ groups: { by: 'variety' } });
    const back = setCalibration(edited.value.season, { groups: null });
    if (!back.ok) throw new Error(back.error.text);
    expect(back.value.name).toBe('One calibration a machine and crop');
    expect(back.value.season).toEqual(season);
  });
});
