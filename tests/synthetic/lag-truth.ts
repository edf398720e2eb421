/** How well lag and mixing of light seasons are found, and whether the standard error says how well. */
import { simulate } from './index.ts';
import { Random } from './random.ts';
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
  readonly mixing_error_s: number;
}

export function findLag(seed: number): LagFinding {
  const season = simulate(lightField(seed));
  const { summary } = runSeason(season);
  const [truth] = season.truth.machines;
  const [lag] = summary.lags;
  return {
    seed,
    transport_s: truth.transport_s,
    transport_error_s: (lag.transport_s ?? Number.NaN) - truth.transport_s,
    transport_se_s: lag.transport_se_s ?? Number.NaN,
    mixing_error_s: (lag.mixing_s ?? Number.NaN) - truth.mixing_s,
  };
}
