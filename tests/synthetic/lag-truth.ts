/** How well lag and mixing of light seasons are found, and whether the standard error says how well. */
import { mean, standardDeviation } from '../../core/stats/moments.ts';
import { quantile } from '../../core/stats/quantiles.ts';
import { simulate } from './index.ts';
import { Random } from './random.ts';
import { SERIAL_DELAY_S } from './receiver.ts';
import { runSeason } from './recovery.ts';
import { type Scene, scene } from './scene.ts';

/** A field of 3 ha or so: transport, mixing, moisture sensor, speed, header, antenna and crop by lot. */
export function lightField(seed: number): Scene {
  const random = new Random(seed, 'lightField');
  const crop = (['corn', 'wheat', 'soybeans'] as const)[random.integer(3)];
  const east_m = random.between(75, 100);
  const north_m = random.between(80, 110);
  const steps = (from_s: number, to_s: number) => Math.round(random.between(from_s, to_s) / 0.05) * 0.05;
  return scene('lightField')
    .seed(seed)
    .field({
      name: 'Trial',
      crop,
      yield_t_ha: { corn: 11, wheat: 7.5, soybeans: 4 }[crop] * random.between(0.8, 1.2),
      yield_cv: random.between(0.1, 0.2),
      corners: [
        [-east_m, -north_m],
        [east_m, -north_m],
        [east_m, north_m],
        [-east_m, north_m],
      ],
      passes: { headland_laps: 1 },
    })
    .machine({
      header: { width_m: random.between(6, 9.5) },
      antenna: { ahead_of_cut_m: random.between(-4, 0.5) },
      drive: { speed_m_s: random.between(1.5, 2.3) },
      grain: {
        transport_s: steps(7, 18),
        mixing_s: random.between(1.8, 4.2),
        moisture_delay_s: steps(2, 9),
        moisture_mixing_s: random.between(2, 6),
      },
    });
}

/** Of one season. */
export interface LagFinding {
  readonly seed: number;
  readonly transport_s: number;
  readonly transport_error_s: number;
  readonly transport_se_s: number;
  /** Error over standard error, against what a log can know: its clock is set by fixes that arrive `SERIAL_DELAY_S` late. */
  readonly standardised_error: number;
  readonly mixing_error_s: number;
  /** Error of the whole lag of the moisture; NaN where it was taken from the grain. */
  readonly moisture_error_s: number;
  readonly moisture_se_s: number;
}

export function findLag(seed: number): LagFinding {
  const scene = lightField(seed);
  const { grain } = scene.spec.machines[0];
  const { summary } = runSeason(simulate(scene));
  const [lag] = summary.lags;
  const transport_error_s = (lag.transport_s ?? Number.NaN) - grain.transport_s;
  const transport_se_s = lag.transport_se_s ?? Number.NaN;
  const moisture_s = grain.transport_s + grain.mixing_s + grain.moisture_delay_s + grain.moisture_mixing_s;
  return {
    seed,
    transport_s: grain.transport_s,
    transport_error_s,
    transport_se_s,
    standardised_error: (transport_error_s + SERIAL_DELAY_S) / transport_se_s,
    mixing_error_s: (lag.mixing_s ?? Number.NaN) - grain.mixing_s,
    moisture_error_s:
      lag.moisture_method === 'neighbour_agreement'
        ? (lag.moisture_s ?? Number.NaN) - moisture_s
        : Number.NaN,
    moisture_se_s: lag.moisture_se_s ?? Number.NaN,
  };
}

/** Median and 95th percentile of the absolute errors, mean and deviation of the standardised ones. */
export function lagTotals(findings: readonly LagFinding[]) {
  const off = (of: (finding: LagFinding) => number) =>
    findings.map((finding) => Math.abs(of(finding))).filter((error) => !Number.isNaN(error));
  const transport = off((finding) => finding.transport_error_s);
  const moisture = off((finding) => finding.moisture_error_s);
  const z = findings.map((finding) => finding.standardised_error);
  return {
    seasons: findings.length,
    transport_median_s: quantile(transport, 0.5),
    transport_95_s: quantile(transport, 0.95),
    z_mean: mean(z),
    z_sd: standardDeviation(z),
    mixing_median_s: quantile(
      off((finding) => finding.mixing_error_s),
      0.5,
    ),
    moisture_told: moisture.length,
    moisture_median_s: quantile(moisture, 0.5),
    moisture_95_s: quantile(moisture, 0.95),
    moisture_rms_z: Math.sqrt(
      mean(
        findings.flatMap((f) =>
          Number.isNaN(f.moisture_error_s) ? [] : [(f.moisture_error_s / f.moisture_se_s) ** 2],
        ),
      ),
    ),
  };
}
