/** Unsmearing of one plot's credit: its rows' grain put back to when it was cut, its total unchanged. */

import { interpolate } from '../columns.ts';
import type { Notice } from '../errors.ts';
import { areaPerStep, cumulativeOnGrid } from '../lag/cut-record.ts';
import type { PlotLag } from '../lag/field-lags.ts';
import { unsmear } from '../lag/unsmear.ts';
import type { SettingsSheet } from '../season.ts';
import type { GrainPassage } from '../signal/grain-passage.ts';
import type { PlotCredit } from './credit-fields.ts';
import { WORTH_RATIO } from './mixing-over-noise.ts';

/** Iterations where the sheet only says that unsmearing is wanted: most of the gain, little of the noise (ours, from simulation). */
const USUAL_ITERATIONS = 3;

const STEP_S = 0.5;
/** Grain is followed for so many mixings after the last ground. */
const TAIL_MIXINGS = 8;

/** Iterations that a season asks for; 0 when it does not ask. */
export function unsmearIterations(settings: SettingsSheet | undefined): number {
  const asked = settings?.unsmear;
  return asked?.on === true ? (asked.iterations ?? USUAL_ITERATIONS) : 0;
}

/** Whether unsmearing would lower the error of a map's fine blocks by a fifth or so; null where that cannot be told. */
export function unsmearHelps(mixing_over_noise: number): boolean | null {
  return Number.isNaN(mixing_over_noise) ? null : mixing_over_noise >= WORTH_RATIO;
}

/** What is said where unsmearing was asked for and mixing is no larger than the scatter that it adds to. */
export function unsmearNotices(
  plots: readonly {
    readonly where: string;
    readonly noise_gain: number;
    readonly mixing_over_noise: number;
  }[],
): Notice[] {
  return plots
    .filter(
      ({ noise_gain, mixing_over_noise }) => noise_gain !== 1 && unsmearHelps(mixing_over_noise) === false,
    )
    .map(({ where, mixing_over_noise }) => ({
      code: 'unsmearing_helps_little',
      severity: 'look',
      source: where,
      count: 1,
      text: `${where}: mixing displaces only ${mixing_over_noise.toFixed(1)} times what a point scatters by itself, so unsmearing helps the map little or not at all. Leave it off here.`,
    }));
}

export interface UnsmearedPlot {
  readonly credit: PlotCredit;
  /** Scatter between neighbouring steps of the flow, after over before. */
  readonly noise_gain: number;
}

/** The plot's credit with rows sharpened; what the rows lose or gain is the remainder's. Unchanged without a mixing. */
export function unsmearPlot(
  credit: PlotCredit,
  { lag, record }: PlotLag,
  passage: GrainPassage,
  iterations: number,
): UnsmearedPlot {
  const n = record.t0_s.length;
  if (!(lag.mixing_s > 0) || n === 0) return { credit, noise_gain: 1 };
  const t0_s = record.t0_s[0];
  const count = Math.ceil((record.t1_s[n - 1] + TAIL_MIXINGS * lag.mixing_s - t0_s) / STEP_S);
  const area = areaPerStep(record, t0_s, STEP_S, count).samples;
  const sharpen = (cumulative: Float64Array, rows: Float64Array) => {
    const flow = cumulativeOnGrid(passage.t_s, cumulative, t0_s + lag.transport_s, STEP_S, count, 'steps');
    const { amount, noise_gain } = unsmear(flow, area, STEP_S, lag.mixing_s, iterations);
    return { ...rowsFromSteps(amount, t0_s, record.t0_s, record.t1_s, rows), noise_gain };
  };
  const grain = sharpen(passage.cumulative, credit.amount);
  const fill =
    passage.fill_weighted === undefined
      ? { rows: credit.fill_weighted, moved: 0 }
      : sharpen(passage.fill_weighted, credit.fill_weighted);
  return {
    credit: {
      ...credit,
      amount: grain.rows,
      fill_weighted: fill.rows,
      remainder: {
        ...credit.remainder,
        amount: credit.remainder.amount - grain.moved,
        fill_weighted: credit.remainder.fill_weighted - fill.moved,
      },
    },
    noise_gain: grain.noise_gain,
  };
}

/** Amounts of the rows from amounts per step, and how much more than before the rows hold. */
function rowsFromSteps(
  amount: Float64Array,
  first_s: number,
  t0_s: Float64Array,
  t1_s: Float64Array,
  before: Float64Array,
): { rows: Float64Array; moved: number } {
  const knots_s = Float64Array.from({ length: amount.length + 1 }, (_, k) => first_s + k * STEP_S);
  const total = new Float64Array(knots_s.length);
  for (let k = 0; k < amount.length; k++) total[k + 1] = total[k] + amount[k];
  let moved = 0;
  const rows = t0_s.map((from_s, i) => {
    const now = interpolate(knots_s, total, t1_s[i]) - interpolate(knots_s, total, from_s);
    moved += now - before[i];
    return now;
  });
  return { rows, moved };
}
