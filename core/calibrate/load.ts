import type { Ticket } from '../read/ticket.ts';
import { median } from '../stats/quantiles.ts';
import { REFERENCE_MOISTURE_PCT } from './load-coefficients.ts';
import type { LoadRatios } from './ratio-fit.ts';

/** One load: what the scale says and what the beam saw of the same grain. Times are seconds from the season's epoch. */
export interface Load {
  /** Names of its tickets, joined by ` + `. */
  readonly ticket: string;
  readonly tickets: readonly Ticket[];
  /** Id of the machine, or `ALL_MACHINES`. */
  readonly machine: string;
  readonly crop: string;
  /** First and last moment at which its grain passed the beam. */
  readonly start_s: number;
  readonly end_s: number;
  readonly scale_kg: number;
  /** Standard deviation of the scale's own error. */
  readonly scale_sigma_kg: number;
  /** Grain by the beam: `Σ ρ V` with shape factor 1, kg. */
  readonly x_kg: number;
  /** The same with each heap's mass multiplied by its fill (`GrainPassage.fill_weighted`); NaN where the log does not show heaps. */
  readonly x2_kg: number;
  /** How long the elevator ran in that time. */
  readonly running_s: number;
  /** `scale_kg / running_s`. */
  readonly mean_flow_kg_s: number;
  /** Bulk density that `x_kg` was reckoned with; NaN where the log already carries mass. */
  readonly bulk_density_kg_m3: number;
  /** Test weight of its tickets over the crop's usual one, less 1; absent where a ticket has none, or the log carries mass. */
  readonly test_weight_share?: number;
  /** % wet basis; NaN when no ticket says. */
  readonly moisture_pct: number;
  /** Its place in the season's list of loads; absent for a load of no season. */
  readonly span?: number;
}

/** Stands for the machine of a load into which several machines delivered. */
export const ALL_MACHINES = 'all machines';

/**
 * Standard deviation of one weighing on a truck scale (gross and tare together), kg: divisions of 20 lb or 10 kg.
 * Common practice, no source.
 */
export const SCALE_SIGMA_KG = 10;

/**
 * What else stands between beam and scale, as a share of a load: grain left in tank and wagon, and the scale's own
 * tolerance, which for truck scales is about as large. Common practice, no source.
 */
export const SCALE_SHARE = 0.002;

/**
 * How much a load's beam mass scatters about the best line, as a share of the load. Light-beam meters err by 3 to 4 %
 * in the standard deviation over years [Demmel2007], most of which is a calibration's offset; from load to load within
 * a season about half a per cent is left (ours, from simulation).
 */
export const BEAM_SCATTER = 0.005;

/**
 * The loads as ratios, with the scatter that is expected of each: the scale's and the beam's. The latter is a share of
 * what the beam should have seen (median gain), not of the ticket, so that a wrong ticket does not change its own weight.
 */
export function ratiosOfLoads(loads: readonly Load[], beam_scatter: number = BEAM_SCATTER): LoadRatios {
  const ratio = Float64Array.from(loads, (load) => load.scale_kg / load.x_kg);
  const usual = median(ratio);
  const mean_fill = Float64Array.from(loads, (load) => load.x2_kg / load.x_kg);
  const moisture = Float64Array.from(loads, (load) => (load.moisture_pct - REFERENCE_MOISTURE_PCT) / 100);
  const test_weight = Float64Array.from(loads, (load) => load.test_weight_share ?? Number.NaN);
  return {
    ratio,
    beam_kg: Float64Array.from(loads, (load) => load.x_kg),
    mean_fill: mean_fill.some(Number.isNaN) ? new Float64Array() : mean_fill,
    moisture_share: moisture.some(Number.isNaN) ? new Float64Array() : moisture,
    test_weight_share: test_weight.some(Number.isNaN) ? new Float64Array() : test_weight,
    inverse_flow_s_kg: Float64Array.from(loads, (load) => load.running_s / load.x_kg),
    ratio_sigma: Float64Array.from(loads, (load) =>
      Math.hypot(load.scale_sigma_kg / load.x_kg, beam_scatter * usual),
    ),
  };
}
