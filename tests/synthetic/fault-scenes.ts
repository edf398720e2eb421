/** Scenes full of planted faults; none of them is tuned to the rules that are to find them. */
import { type Scene, scene } from './scene.ts';

const EACH = 3;

/** A rectangle whose last pass is a fifth of a header wide. */
export function faultyRectangle(seed: number): Scene {
  return scene('faultyRectangle')
    .seed(seed)
    .field({
      name: 'Oblong',
      corners: [
        [-134.1, -150],
        [134.1, -150],
        [134.1, 150],
        [-134.1, 150],
      ],
    })
    .machine({})
    .loads({ load_t: 14 })
    .faults(EACH);
}

/** A field that runs out into a point, with short passes and point rows; wheat and a slower machine. */
export function faultyPoint(seed: number): Scene {
  return scene('faultyPoint')
    .seed(seed)
    .field({
      name: 'Wedge',
      crop: 'wheat',
      yield_t_ha: 7.4,
      yield_cv: 0.17,
      moisture_pct: 14.1,
      corners: [
        [-140, -150],
        [90, -150],
        [165, 10],
        [80, 150],
        [-140, 150],
      ],
      passes: { headland_laps: 1 },
    })
    .machine({
      header: { width_m: 7.62 },
      drive: { speed_m_s: 1.8 },
      grain: { transport_s: 9.5, mixing_s: 3.4 },
    })
    .loads({ load_t: 10 })
    .faults(EACH);
}

export const FAULT_SCENES: readonly ((seed: number) => Scene)[] = [faultyRectangle, faultyPoint];
