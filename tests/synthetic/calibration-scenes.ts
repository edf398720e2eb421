/** Scenes on which the calibration's promises are tried: small fields, sensors of many kinds, all drawn by the seed. */
import { Random } from './random.ts';
import { type Scene, scene } from './scene.ts';

/** Standard deviation of a moisture sensor's own error over a season, points: what the program reckons with. */
const MOISTURE_OFFSET_SD_PCT = 0.5;

/** A field of about 4 ha, 6 to 12 loads or so, of which some are weighed. */
export function someWeighed(seed: number): Scene {
  const random = new Random(seed, 'someWeighed');
  const { made, harvest_t } = smallField('someWeighed', seed, random);
  return made.loads({
    load_t: harvest_t / (6 + random.integer(7)),
    weighed_share: random.between(0.3, 0.8),
  });
}

/** The same with a ticket for each of 4 to 12 loads or so. */
export function allWeighed(seed: number): Scene {
  const random = new Random(seed, 'allWeighed');
  const { made, harvest_t } = smallField('allWeighed', seed, random);
  return made.loads({ load_t: harvest_t / (2.8 + random.integer(6)) });
}

/** Crop, yield, size, moisture, speeds, gain, bend and wander of the sensor, and the offset of its moisture sensor, by lot. */
function smallField(
  name: string,
  seed: number,
  random: Random,
): { readonly made: Scene; readonly harvest_t: number } {
  const crop = (['corn', 'wheat', 'soybeans'] as const)[random.integer(3)];
  const yield_t_ha = { corn: 11, wheat: 7.5, soybeans: 4 }[crop] * random.between(0.8, 1.2);
  const east_m = random.between(80, 110);
  const north_m = random.between(85, 115);
  const made = scene(name)
    .seed(seed)
    .field({
      name: 'Trial',
      crop,
      yield_t_ha,
      yield_cv: random.between(0.1, 0.2),
      moisture_pct: random.between(13, 20),
      corners: [
        [-east_m, -north_m],
        [east_m, -north_m],
        [east_m, north_m],
        [-east_m, north_m],
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
    });
  return { made, harvest_t: ((4 * east_m * north_m) / 10_000) * yield_t_ha };
}
