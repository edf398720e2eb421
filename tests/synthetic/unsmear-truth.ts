/** What unsmearing does to the map where threshing mixes for long, and whether the program foresees it. */
import { interpolate } from '../../core/columns.ts';
import { moistureFactor } from '../../core/grain/moisture.ts';
import type { FieldPoints, SeasonResult } from '../../core/result.ts';
import { STEP_S } from './drive.ts';
import { type SimulatedSeason, simulate } from './index.ts';
import { lightField } from './lag-truth.ts';
import { Random } from './random.ts';
import { runSeason } from './recovery.ts';
import type { Scene } from './scene.ts';

const BLOCK_M = 5;
/** A block counts when so much of it lies under kept points. */
const LEAST_M2 = 12.5;

/** A light field of a machine that mixes for 3 s or longer, over ground that changes quickly or slowly. */
export function muchMixed(seed: number): Scene {
  const random = new Random(seed, 'muchMixed');
  return lightField(seed)
    .everyField({ yield_range_m: random.between(25, 100), yield_cv: random.between(0.12, 0.22) })
    .everyMachine({
      grain: { mixing_s: random.between(3, 5) },
      drive: { speed_steps: random.between(0.05, 0.3) },
    });
}

/** Of one season. */
export interface UnsmearFinding {
  readonly seed: number;
  /** Root mean square error of 5 m block means, % of their mean, over the same points. */
  readonly plain_pct: number;
  readonly unsmeared_pct: number;
  /** Whether the program says that unsmearing would help; null where it says nothing. */
  readonly foreseen: boolean | null;
}

export function findUnsmear(seed: number, iterations?: number): UnsmearFinding {
  const season = simulate(muchMixed(seed));
  const plain = runSeason(season);
  const unsmeared = runSeason(season, { unsmear: { on: true, ...(iterations ? { iterations } : {}) } });
  const kept = (row: number) => plain.points[0].screened_by[row] === 0;
  return {
    seed,
    plain_pct: blockError(season, plain, kept),
    unsmeared_pct: blockError(season, unsmeared, kept),
    foreseen: plain.summary.lags[0].unsmear_helps ?? null,
  };
}

function blockError(
  season: SimulatedSeason,
  { points: [points], epoch_utc_s }: SeasonResult,
  isKept: (row: number) => boolean,
): number {
  const [field] = season.truth.fields;
  const [{ cut_dry_kg, log_start_utc_s }] = field.machines;
  // dry matter is grain at 0 %
  const fromDry = moistureFactor(0, field.standard_moisture_pct);
  const knots_s = Float64Array.from(cut_dry_kg, (_, k) => k * STEP_S + log_start_utc_s - epoch_utc_s);
  const blocks = new Map<string, { m2: number; found_kg: number; true_kg: number }>();
  for (let i = 0; i < points.t_s.length; i++) {
    if (!isKept(i)) continue;
    const from_s = points.t_s[i] - points.duration_s[i] / 2;
    const cut_kg = (at_s: number) => fromDry * interpolate(knots_s, cut_dry_kg, at_s);
    const true_kg = cut_kg(from_s + points.duration_s[i]) - cut_kg(from_s);
    for (const { key, share } of sharesOf(points, i)) {
      const block = blocks.get(key) ?? { m2: 0, found_kg: 0, true_kg: 0 };
      block.m2 += share * points.fresh_area_m2[i];
      block.found_kg += share * points.yield_kg_m2[i] * points.fresh_area_m2[i];
      block.true_kg += share * true_kg;
      blocks.set(key, block);
    }
  }
  const counted = [...blocks.values()].filter(({ m2 }) => m2 >= LEAST_M2);
  const sum = (of: (block: (typeof counted)[number]) => number) => counted.reduce((s, b) => s + of(b), 0);
  const mean_kg_m2 = sum((b) => b.true_kg) / sum((b) => b.m2);
  return (100 * Math.sqrt(sum((b) => ((b.found_kg - b.true_kg) / b.m2) ** 2) / counted.length)) / mean_kg_m2;
}

/** Points across the header along which a swath is laid over the blocks. */
const ACROSS = 8;

function* sharesOf(points: FieldPoints, i: number): Generator<{ key: string; share: number }> {
  const sin = Math.sin(points.heading_rad[i]);
  const cos = Math.cos(points.heading_rad[i]);
  for (let a = 0; a < ACROSS; a++) {
    const right = ((a + 0.5) / ACROSS - 0.5) * points.cut_width_m[i];
    const col = Math.floor((points.east_m[i] + right * cos) / BLOCK_M);
    const row = Math.floor((points.north_m[i] - right * sin) / BLOCK_M);
    yield { key: `${col},${row}`, share: 1 / ACROSS };
  }
}
