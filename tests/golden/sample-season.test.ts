/**
 * The sample season's figures as they were when they were last looked at and found right (the truth tests say how near
 * they are to the truth). A change beyond the tolerances is not wrong by itself; it must be meant. Then the figures in
 * `alder-rise-2026.json` are renewed by hand from the `summary.json` of a build.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import type { SeasonComparisons } from '../../core/analysis/season-comparisons.ts';
import type { Summary } from '../../core/result.ts';
import { comparisonsOf } from '../../electron/host/comparisons.ts';
import { runSeason } from '../../electron/host/run-season.ts';
import { TOP } from '../structure/source-files.ts';
import { SPRAYED_FACTOR } from '../synthetic/sample-season.ts';

interface Golden {
  readonly fields: readonly {
    readonly name: string;
    readonly crop: string;
    readonly area_ha: number;
    readonly mean_yield_t_ha: number;
    readonly mass_wet_kg: number;
    readonly mass_std_kg: number;
    readonly moisture_pct: number;
    readonly points_total: number;
    readonly points_kept: number;
  }[];
  readonly lags: readonly {
    readonly field: string;
    readonly machine: string;
    readonly method: string;
    readonly transport_s: number;
    readonly mixing_s: number;
  }[];
  readonly loads: readonly {
    readonly machine: string;
    readonly crop: string;
    readonly used: number;
    readonly flagged: readonly string[];
  }[];
}

/** A fifth of what recovering the truth is allowed to be off. */
const TOLERANCES = { area: 0.0005, mass: 0.001, points: 0.05, moisture_pct: 0.05, lag_s: 0.1 };

const golden = JSON.parse(readFileSync(join(TOP, 'tests/golden/alder-rise-2026.json'), 'utf8')) as Golden;
let summary: Summary;
let comparisons: SeasonComparisons;

beforeAll(async () => {
  const run = await runSeason(join(TOP, 'sample-data/alder-rise-2026'), () => undefined);
  if (!run.ok) throw new Error(run.error.text);
  summary = run.value.result.summary;
  comparisons = await comparisonsOf(join(TOP, 'sample-data/alder-rise-2026'), run.value);
});

function expectNear(found: number | null, expected: number, share: number): void {
  expect(found).not.toBeNull();
  expect(Math.abs((found ?? 0) / expected - 1)).toBeLessThan(share);
}

describe('the sample season', () => {
  it('has the same fields', () => {
    expect(summary.fields.map(({ name, crop }) => ({ name, crop }))).toEqual(
      golden.fields.map(({ name, crop }) => ({ name, crop })),
    );
  });

  for (const [index, expected] of golden.fields.entries()) {
    it(`${expected.name}: area, yield, masses, moisture, points`, () => {
      const field = summary.fields[index];
      expectNear(field.area_ha, expected.area_ha, TOLERANCES.area);
      expectNear(field.mean_yield_t_ha, expected.mean_yield_t_ha, TOLERANCES.mass);
      expectNear(field.mass_wet_kg, expected.mass_wet_kg, TOLERANCES.mass);
      expectNear(field.mass_std_kg, expected.mass_std_kg, TOLERANCES.mass);
      expectNear(field.points.total, expected.points_total, TOLERANCES.points);
      expectNear(field.points.kept, expected.points_kept, TOLERANCES.points);
      expect(Math.abs((field.moisture_pct ?? 0) - expected.moisture_pct)).toBeLessThan(
        TOLERANCES.moisture_pct,
      );
    });
  }

  it('has the same lags, found the same way', () => {
    expect(summary.lags.map(({ field, machine, method }) => ({ field, machine, method }))).toEqual(
      golden.lags.map(({ field, machine, method }) => ({ field, machine, method })),
    );
    for (const [index, { transport_s, mixing_s }] of golden.lags.entries()) {
      expect(Math.abs((summary.lags[index].transport_s ?? 0) - transport_s)).toBeLessThan(TOLERANCES.lag_s);
      expect(Math.abs((summary.lags[index].mixing_s ?? 0) - mixing_s)).toBeLessThan(TOLERANCES.lag_s);
    }
  });

  it('tells when the empty level was read, and what was read then', () => {
    for (const { empty_level: level } of summary.signals) {
      expect(level.read).toHaveLength(level.spells);
      expect([level.read[0], level.read.at(-1)].map((read) => Number(read?.toFixed(4)))).toEqual(
        [level.first, level.last].map((read) => Number(read?.toFixed(4))),
      );
      const days = level.read_at_unix_s.map((unix_s) => new Date(unix_s * 1000).toISOString().slice(0, 7));
      expect(days.every((month) => ['2026-09', '2026-10'].includes(month))).toBe(true);
      expect(level.read_at_unix_s).toEqual([...level.read_at_unix_s].sort((a, b) => a - b));
    }
  });

  it('tells what was sprayed from what was not, by what it is worth in truth', () => {
    const [{ name, differences, treatments, design }] = comparisons.comparisons;
    expect([name, design.kind, comparisons.refused]).toEqual(['Fungicide', 'pairs', []]);
    const plain_t_ha = treatments.find(({ treatment }) => treatment === 'not sprayed')?.yield_t_ha ?? 0;
    const truth_t_ha = (SPRAYED_FACTOR - 1) * plain_t_ha;
    expect(differences[0]).toMatchObject({ higher: 'sprayed', can_be_told: true });
    const [low, high] = differences[0].interval_t_ha ?? [];
    expect(low).toBeLessThan(truth_t_ha);
    expect(high).toBeGreaterThan(truth_t_ha);
    expect(comparisons.margins?.treatments[0].told).toMatch(/^sprayed leaves .* cannot be said to have paid/);
  });

  it('sets the one mistyped ticket aside, and no other', () => {
    const loads = summary.calibrations.map((fit) => ({
      machine: fit.machine,
      crop: fit.crop,
      used: fit.loads.filter((load) => load.used).length,
      flagged: fit.loads.filter((load) => load.flagged).map((load) => load.ticket),
    }));
    expect(loads).toEqual(golden.loads);
  });
});
