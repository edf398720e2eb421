/** Scenes on which the calibration's promises are tried: small fields, sensors of many kinds, some loads weighed. */

import { Random } from './random.ts';
import type { Scene } from './scene.ts';
import { scene } from './scene.ts';

/** Standard deviation of a moisture sensor's own error over a season, points: what the program reckons with. */
const MOISTURE_OFFSET_SD_PCT = 0.5;

/**
 * A field of 4 ha of which some of the loads are weighed: crop, yield, machine, gain, bend, speeds, scale and the offset of the
 * moisture sensor all drawn by the seed.
 */
export function someWeighed(seed: number): Scene {
  const random = new Random(seed, 'someWeighed');
  const crop = (['corn', 'wheat', 'soybeans'] as const)[random.integer(3)];
  const yield_t_ha = { corn: 11, wheat: 7.5, soybeans: 4 }[crop] * random.between(0.8, 1.2);
  const width_m = random.between(80, 110);
  const height_m = random.between(85, 115);
  const hectares = (4 * width_m * height_m) / 10_000;
  return scene('someWeighed')
    .seed(seed)
    .field({
      name: 'Trial',
      crop,
      yield_t_ha,
      yield_cv: random.between(0.1, 0.2),
      moisture_pct: random.between(13, 20),
      corners: [
        [-width_m, -height_m],
        [width_m, -height_m],
        [width_m, height_m],
        [-width_m, height_m],
      ],
      passes: { headland_laps: 1 },
    })
    .machine({
      drive: { speed_m_s: random.between(1.6, 2.3), load_speeds: [1, 0.75, 1.2] },
      elevator: {
        shape_factor: random.between(0.8, 1.1),
        shape_bend: random.between(-0.03, 0.05),
        height_wander: random.between(0.004, 0.01),
      },
      logger: { moisture_offset_pct: MOISTURE_OFFSET_SD_PCT * random.normal() },
    })
    .loads({
      load_t: (hectares * yield_t_ha) / (8 + random.integer(9)),
      weighed_share: random.between(0.3, 0.8),
    });
}
