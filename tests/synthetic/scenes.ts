/** Named scenes for the truth tests: each a function of a seed, none of them tuned to the program. */
import { type Scene, scene } from './scene.ts';

/** A near-rectangular field, straight passes, a precise receiver, one machine with header switch and moisture. */
export function plain(seed: number): Scene {
  return scene('plain')
    .seed(seed)
    .field({
      name: 'Plain',
      corners: [
        [-150, -165],
        [146, -160],
        [152, 158],
        [-147, 165],
      ],
    })
    .machine({ drive: { load_speeds: [1, 0.8, 1.1, 0.9] } })
    .loads({ load_t: 14 });
}
